import { z } from 'zod';
import { type Certificate, certificateSchema } from '../calibration/certificate.ts';
import { judgeDailyCheck } from '../calibration/daily-check.ts';
import { dayOf, identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { roleRefusal } from '../people/permission.ts';
import type { Actor } from '../people/role.ts';
import { takesPin } from '../people/signature.ts';
import { type Quantity, quantityOf, unitSchema } from '../quantity/unit.ts';
import { ok, type Result, refuse } from '../result.ts';
import { checkLimit } from './check-limit.ts';
import { instrumentFitness, isConcedable } from './fitness.ts';
import {
  checkReferenceSchema,
  type Instrument,
  type InstrumentEvent,
  type RegisterEntry,
  registerEntrySchema,
} from './instrument.ts';

const ofInstrument = { instrumentId: identifierSchema };

/** What may be asked of the register of instruments. */
export const instrumentCommandSchema = z.discriminatedUnion('kind', [
  /** A new instrument; again, with the same id, it corrects the entry. */
  z.strictObject({ kind: z.literal('registerInstrument'), ...ofInstrument, entry: registerEntrySchema }),
  z.strictObject({ kind: z.literal('addCertificate'), ...ofInstrument, certificate: certificateSchema }),
  z.strictObject({
    kind: z.literal('recordInstrumentCheck'),
    ...ofInstrument,
    reference: checkReferenceSchema,
    indication: z.strictObject({ value: z.number(), unit: unitSchema }),
    /** Left out: the maximum permissible error of the register. */
    limit: z.strictObject({ value: z.number().positive(), unit: unitSchema }).optional(),
  }),
  z.strictObject({
    kind: z.literal('concedeInstrument'),
    ...ofInstrument,
    reason: spokenTextSchema,
    until: instantSchema,
  }),
  z.strictObject({ kind: z.literal('retireInstrument'), ...ofInstrument, reason: spokenTextSchema }),
]);
export type InstrumentCommand = z.infer<typeof instrumentCommandSchema>;
type CommandOf<Kind extends InstrumentCommand['kind']> = Extract<InstrumentCommand, { kind: Kind }>;

export interface InstrumentContext {
  readonly at: string;
  readonly person: Actor;
  /** True when the person has just re-entered the PIN for this command. */
  readonly pinVerified: boolean;
  /** The whole register, retired ones too. */
  readonly instruments: readonly Instrument[];
  /** registerInstrument: what the profile named there measures, and whether a simulator speaks it. */
  readonly profile?: { readonly quantity: Quantity; readonly canBeSimulated: boolean } | undefined;
  /** True in a workshop of simulated instruments. */
  readonly simulated: boolean;
  /** SHA-256 over RFC 8785 canonical JSON, in hexadecimal. */
  hashOf(certificate: Certificate): string;
}

/** A concession bridges the time to the next calibration; it does not replace it. Common practice, no source. */
export const longestConcessionDays = 31;

/** What a command makes of an instrument: the events, or the refusal. Never throws. */
export function decideInstrument(
  command: InstrumentCommand,
  context: InstrumentContext,
): Result<readonly InstrumentEvent[]> {
  const forRole = roleRefusal(context.person, command.kind);
  if (forRole !== null) return { ok: false, error: forRole };
  if (takesPin(command.kind) && !context.pinVerified) {
    return refuse('pin_required', 'pin', 'A concession takes the PIN; enter it.');
  }
  const { instrumentId } = command;
  const state = context.instruments.find((instrument) => instrument.instrumentId === instrumentId);
  if (state !== undefined && state.retired !== null) {
    return refuse('instrument_retired', 'instrumentId', `${state.name} is retired; register another one.`);
  }
  if (command.kind === 'registerInstrument') return decideEntry(state, command, context);
  if (state === undefined) {
    return refuse(
      'no_such_instrument',
      'instrumentId',
      `There is no instrument ${instrumentId}; register it first.`,
    );
  }
  switch (command.kind) {
    case 'addCertificate':
      return decideCertificate(state, command, context);
    case 'recordInstrumentCheck':
      return decideCheck(state, command, context);
    case 'concedeInstrument':
      return decideConcession(state, command, context);
    case 'retireInstrument':
      return ok([{ kind: 'instrumentRetired', ...envelope(command, context), reason: command.reason }]);
  }
}

function envelope({ instrumentId }: { readonly instrumentId: string }, { at, person }: InstrumentContext) {
  return { instrumentId, at, personId: person.personId };
}

function decideEntry(
  state: Instrument | undefined,
  command: CommandOf<'registerInstrument'>,
  context: InstrumentContext,
): Result<readonly InstrumentEvent[]> {
  const { entry, instrumentId } = command;
  const wrong =
    entryFault(entry, context) ?? (state === undefined ? null : changeFault(state, entry)) ?? null;
  if (wrong !== null) return wrong;
  const twin = context.instruments.find(
    (other) =>
      other.instrumentId !== instrumentId &&
      other.retired === null &&
      other.kind === entry.kind &&
      other.serialNumber === entry.serialNumber,
  );
  if (twin !== undefined) {
    // A second entry would walk away from the checks and the due date of the first.
    return refuse(
      'serial_number_taken',
      'entry.serialNumber',
      `${twin.name} has this serial number; correct that entry or retire it first.`,
    );
  }
  // A real workshop has nothing invented.
  const invented = entry.invented && context.simulated;
  return ok([{ kind: 'instrumentRegistered', ...envelope(command, context), entry: { ...entry, invented } }]);
}

type Refused = ReturnType<typeof refuse>;

function entryFault(entry: RegisterEntry, { profile, simulated }: InstrumentContext): Refused | null {
  const quantity = quantityOfKind(entry.kind);
  if (entry.metrology.quantity !== quantity) {
    return refuse('wrong_quantity', 'entry.metrology.quantity', `A ${entry.kind} measures ${quantity}.`);
  }
  if (entry.unit !== null && quantityOf(entry.unit) !== quantity) {
    return refuse('wrong_unit', 'entry.unit', `${entry.unit} is no unit of ${quantity}; choose another.`);
  }
  if (profile === undefined) {
    return refuse(
      'no_such_profile',
      'entry.profileName',
      `There is no profile ${entry.profileName}; choose one of the list or teach it first.`,
    );
  }
  if (profile.quantity !== quantity) {
    return refuse(
      'wrong_quantity',
      'entry.profileName',
      `Profile ${entry.profileName} measures ${profile.quantity}; choose one that measures ${quantity}.`,
    );
  }
  if (!entry.simulated) return null;
  if (!simulated) {
    return refuse(
      'simulated_instrument',
      'entry.simulated',
      'A real workshop takes no simulated instrument; use the demo workshop for that.',
    );
  }
  if (profile.canBeSimulated) return null;
  return refuse(
    'not_simulated',
    'entry.profileName',
    `No simulator speaks ${entry.profileName}; choose another profile.`,
  );
}

/** What it was registered as stays: its certificates and its captures say so. */
function changeFault(state: Instrument, entry: RegisterEntry): Refused | null {
  if (entry.kind !== state.kind) {
    return refuse('other_kind', 'entry.kind', `${state.name} is a ${state.kind}; register another one.`);
  }
  if (entry.simulated !== state.simulated) {
    return refuse(
      'other_nature',
      'entry.simulated',
      `${state.name} is ${state.simulated ? 'simulated' : 'real'} and stays so; register another one.`,
    );
  }
  return null;
}

function decideCertificate(
  state: Instrument,
  command: CommandOf<'addCertificate'>,
  context: InstrumentContext,
): Result<readonly InstrumentEvent[]> {
  const { certificate } = command;
  if (quantityOf(certificate.unit) !== state.metrology.quantity) {
    return refuse(
      'wrong_unit',
      'certificate.unit',
      `${certificate.unit} is no unit of ${state.metrology.quantity}; is it another instrument's certificate?`,
    );
  }
  if (certificate.date > dayOf(context.at)) {
    return refuse('certificate_in_future', 'certificate.date', 'This day is still to come; correct it.');
  }
  const certificateHash = context.hashOf(certificate);
  if (state.certificates.some(({ hash }) => hash === certificateHash)) {
    return refuse(
      'certificate_known',
      'certificate.number',
      `Certificate ${certificate.number} is in the register already; nothing to do.`,
    );
  }
  return ok([{ kind: 'certificateAdded', ...envelope(command, context), certificate, certificateHash }]);
}

function decideCheck(
  state: Instrument,
  command: CommandOf<'recordInstrumentCheck'>,
  context: InstrumentContext,
): Result<readonly InstrumentEvent[]> {
  const { reference, indication } = command;
  const limit = checkLimit(state.metrology, reference, command.limit);
  if (!limit.ok) return limit;
  const judged = judgeDailyCheck({ reference, indication, limit: limit.value });
  if (!judged.ok) return judged;
  const kind = judged.value.passed ? 'checkPassed' : 'checkFailed';
  return ok([{ kind, ...envelope(command, context), reference, indication, limit: limit.value }]);
}

function decideConcession(
  state: Instrument,
  command: CommandOf<'concedeInstrument'>,
  context: InstrumentContext,
): Result<readonly InstrumentEvent[]> {
  const { at, person } = context;
  const { reason, until } = command;
  const fitness = instrumentFitness(state, at);
  if (fitness.code === 'ok') {
    return refuse('nothing_to_concede', 'instrumentId', `${state.name} is fit for use; nothing to concede.`);
  }
  if (!isConcedable(fitness.code)) return refuse('not_concedable', 'instrumentId', fitness.message);
  if (state.lastCheck?.personId === person.personId) {
    return refuse(
      'own_concession',
      'personId',
      'You made the last check of it; ask another lead to concede.',
    );
  }
  const days = (Date.parse(until) - Date.parse(at)) / 86_400_000;
  if (days <= 0) return refuse('until_past', 'until', 'This time is past; give a later one.');
  if (days > longestConcessionDays) {
    return refuse(
      'until_too_late',
      'until',
      `A concession holds ${longestConcessionDays} days at most; have the instrument calibrated by then.`,
    );
  }
  return ok([{ kind: 'instrumentConceded', ...envelope(command, context), reason, until }]);
}

function quantityOfKind(kind: Instrument['kind']): Quantity {
  return kind === 'scale' ? 'mass' : 'torque';
}
