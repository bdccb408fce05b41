import { lotExpiryOn, lotRefusal } from '../consumable/lot-refusal.ts';
import { dayOf } from '../identifier.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { JobCommandOf } from './command.ts';
import type { JobContext } from './context.ts';
import type { JobEvent } from './event.ts';
import { checkStep } from './gate.ts';
import type { JobState } from './state.ts';

type StepCommand =
  | JobCommandOf<
      | 'acknowledgeCaution'
      | 'confirmInstruction'
      | 'answerCheck'
      | 'disposePart'
      | 'useConsumable'
      | 'recordNumeric'
      | 'signOffStep'
    >
  | (JobCommandOf<'writeNote'> & { readonly stepId: string });

/** A step that a person does by hand and eye: everything but tare and captures. */
export function decideStep(
  state: JobState,
  command: StepCommand,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const { stepId } = command;
  const envelope = { jobId: state.jobId, at: context.at, personId: context.person.personId, stepId };
  switch (command.kind) {
    case 'acknowledgeCaution': {
      const found = checkStep(state, context, stepId, 'caution');
      if (!found.ok) return found;
      const hazards = found.value.step.cautions.map((caution) => caution.hazard);
      return ok([{ kind: 'cautionAcknowledged', ...envelope, hazards }]);
    }
    case 'confirmInstruction': {
      const found = checkStep(state, context, stepId, 'instruction');
      return found.ok ? ok([{ kind: 'instructionConfirmed', ...envelope }]) : found;
    }
    case 'answerCheck': {
      const found = checkStep(state, context, stepId, 'check');
      if (!found.ok) return found;
      const { answer, remark } = command;
      return ok([
        { kind: 'checkAnswered', ...envelope, answer, ...(remark === undefined ? {} : { remark }) },
      ]);
    }
    case 'writeNote': {
      const found = checkStep(state, context, stepId, 'note');
      return found.ok ? ok([{ kind: 'noteWritten', ...envelope, text: command.text }]) : found;
    }
    case 'disposePart':
      return decideDisposition(state, command, context);
    case 'useConsumable':
      return decideConsumable(state, command, context);
    case 'recordNumeric':
      return decideNumeric(state, command, context);
    case 'signOffStep': {
      const found = checkStep(state, context, stepId, 'signOff');
      if (!found.ok) return found;
      if (!found.value.step.roles.some((role) => context.person.roles.includes(role))) {
        const asked = found.value.step.roles.join(' or ');
        return refuse('not_allowed', 'personId', `Only a ${asked} may sign ${stepId}; ask one.`);
      }
      if (!context.pinVerified) return refuse('pin_required', 'pin', 'A signature takes the PIN; enter it.');
      return ok([{ kind: 'stepSignedOff', ...envelope }]);
    }
  }
}

function decideDisposition(
  state: JobState,
  command: JobCommandOf<'disposePart'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = checkStep(state, context, command.stepId, 'disposition');
  if (!found.ok) return found;
  const { step } = found.value;
  const { stepId, choice, reason, replacement } = command;
  if (!step.choices.includes(choice)) {
    return refuse('not_a_choice', 'choice', `The sheet allows ${step.choices.join(', ')} here; choose one.`);
  }
  if (reason === undefined && step.reasonRequiredFor.includes(choice)) {
    return refuse('reason_missing', 'reason', `To ${choice} this part takes a reason; give it.`);
  }
  return ok([
    {
      kind: 'partDisposed',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      stepId,
      choice,
      ...(reason === undefined ? {} : { reason }),
      ...(replacement === undefined ? {} : { replacement }),
    },
  ]);
}

function decideConsumable(
  state: JobState,
  command: JobCommandOf<'useConsumable'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = checkStep(state, context, command.stepId, 'consumable');
  if (!found.ok) return found;
  const { step } = found.value;
  const quantity = command.quantity ?? step.quantity ?? null;
  const event = {
    kind: 'consumableUsed',
    jobId: state.jobId,
    at: context.at,
    personId: context.person.personId,
    stepId: command.stepId,
    consumableId: step.consumableId,
    quantity,
  } as const;
  if (command.lotId === undefined) {
    if (step.lotRequired)
      return refuse('lot_missing', 'lotId', 'This step takes a lot; scan or type its number.');
    return ok([{ ...event, lotId: null, lotExpiry: null }]);
  }
  const { lot } = context;
  if (lot === undefined || lot.lotId !== command.lotId) {
    return refuse('lot_unknown', 'lotId', `Lot ${command.lotId} is not in stock here; receive it first.`);
  }
  if (lot.consumableId !== step.consumableId) {
    return refuse('wrong_consumable', 'lotId', `Lot ${lot.lotId} is ${lot.name.en}, not ${step.name.en}.`);
  }
  const unfit = lotRefusal(lot, dayOf(context.at), quantity);
  if (unfit !== null) return { ok: false, error: unfit };
  return ok([{ ...event, lotId: lot.lotId, lotExpiry: lotExpiryOn(lot, dayOf(context.at)) }]);
}

function decideNumeric(
  state: JobState,
  command: JobCommandOf<'recordNumeric'>,
  context: JobContext,
): Result<readonly JobEvent[]> {
  const found = checkStep(state, context, command.stepId, 'numeric');
  if (!found.ok) return found;
  const { step } = found.value;
  const { stepId, text } = command;
  const value = Number(text);
  if (!/^-?\d+(\.\d+)?$/.test(text) || !Number.isFinite(value)) {
    return refuse('not_a_number', 'text', `"${text}" is not a number; type digits with one decimal sign.`);
  }
  const decimals = text.split('.')[1]?.length ?? 0;
  if (step.decimals !== undefined && decimals > step.decimals) {
    return refuse(
      'too_many_decimals',
      'text',
      `${text} has ${decimals} decimals; give at most ${step.decimals}.`,
    );
  }
  const within = value >= (step.lower ?? value) && value <= (step.upper ?? value);
  return ok([
    {
      kind: 'numericRecorded',
      jobId: state.jobId,
      at: context.at,
      personId: context.person.personId,
      stepId,
      text,
      value,
      unit: step.unit,
      within,
    },
  ]);
}
