import type { RegisteredInstrumentView } from '../../shared/management-view.ts';
import { massUnits, torqueUnits, type Unit, unitSchema } from '../../shared/quantity/unit.ts';
import { chosenInstrument } from '../state/desk-state.ts';
import { hidLackText } from '../state/hid-lack.ts';
import type { Question, QuestionField } from '../state/screen-store.ts';
import type { Situation } from '../state/situation.ts';
import type { CallFailure } from '../station-client.ts';
import { unitName } from '../wording/unit-name.ts';
import type { Action, Hands } from './action.ts';
import { atDesk, manage, signedInMay } from './manage.ts';

type Entry = RegisteredInstrumentView['entry'];

/** Puts a new instrument into the register: port, profile, and what is known of it. */
export const registerInstrument: Action = {
  id: 'register-instrument',
  key: 'F7',
  place: 'desk',
  label: () => 'action.registerInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) => signedInMay(situation, 'registerInstrument'),
  run(situation, hands) {
    hands.open({ kind: 'question', question: registration(situation, hands, null) });
  },
};

/** Corrects the entry of the chosen instrument; certificates and checks stay. */
export const correctInstrument: Action = {
  id: 'correct-instrument',
  key: 'F8',
  place: 'desk',
  label: () => 'action.correctInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) =>
    signedInMay(situation, 'registerInstrument') && chosenInstrument(situation.screen.desk)?.retired === null,
  run(situation, hands) {
    const instrument = chosenInstrument(situation.screen.desk);
    if (instrument !== undefined) {
      hands.open({ kind: 'question', question: registration(situation, hands, instrument) });
    }
  },
};

const noPort = 'none';

export function registration(
  { screen, snapshot }: Situation,
  hands: Hands,
  known: RegisteredInstrumentView | null,
): Question {
  const { ports, hidLack, profiles, portId, profileName } = screen.desk;
  const entry = known?.entry;
  const offered = (ports ?? []).filter(({ heldBy, portId: id }) => heldBy === null || id === portOf(entry));
  const hasNoPort = snapshot?.simulated !== true && offered.length === 0 && portOf(entry) === undefined;
  const range = entry?.metrology.ranges.at(-1);
  const error = entry?.metrology.maximumPermissibleError;
  const ofEntry: readonly QuestionField[] = [
    ...(known === null
      ? [{ name: 'instrumentId', kind: 'text' as const, label: 'field.instrumentId' as const }]
      : []),
    { name: 'name', kind: 'text', label: 'field.name', initial: entry?.name ?? '' },
    {
      name: 'profileName',
      kind: 'choice',
      label: 'field.profile',
      choices: (profiles ?? []).map(({ name, taught }) => ({
        value: name,
        label: taught ? { key: 'profile.taught', parameters: { name } } : name,
      })),
      initial: entry?.profileName ?? profileName ?? '',
    },
    {
      name: 'port',
      kind: 'choice',
      label: 'field.port',
      choices: [
        ...(snapshot?.simulated === true
          ? [{ value: noPort, label: { key: 'port.simulated' } as const }]
          : []),
        ...offered.map(({ portId: path, name }) => ({
          value: path,
          label: { key: 'port.free', parameters: { path, name } } as const,
        })),
        ...(portOf(entry) !== undefined && !offered.some(({ portId: id }) => id === portOf(entry))
          ? [{ value: portOf(entry) ?? '', label: portOf(entry) ?? '' }]
          : []),
      ],
      initial: entry === undefined ? (portId ?? '') : (portOf(entry) ?? noPort),
    },
    {
      name: 'serialNumber',
      kind: 'text',
      label: 'field.serialNumber',
      scanned: true,
      initial: entry?.serialNumber ?? '',
    },
    {
      name: 'unit',
      kind: 'choice',
      label: 'field.measureUnit',
      choices: [...massUnits, ...torqueUnits].map((value) => ({ value, label: unitName(value) })),
      initial: entry?.metrology.unit ?? 'g',
    },
    { name: 'capacity', kind: 'number', label: 'field.capacity', initial: text(range?.upTo) },
    { name: 'resolution', kind: 'number', label: 'field.resolution', initial: text(range?.resolution) },
    {
      name: 'mpe',
      kind: 'number',
      label: 'field.mpe',
      optional: true,
      initial: text(
        error?.kind === 'relative' ? Number((error.fraction * 100).toPrecision(12)) : error?.value,
      ),
    },
    {
      name: 'mpeKind',
      kind: 'choice',
      label: 'field.mpeKind',
      choices: (['absolute', 'relative'] as const).map((value) => ({
        value,
        label: { key: `field.mpeKind.${value}` } as const,
      })),
      initial: error?.kind ?? 'absolute',
    },
    {
      name: 'repeatability',
      kind: 'number',
      label: 'field.repeatability',
      optional: true,
      initial: text(entry?.metrology.repeatability?.standardDeviation),
    },
    {
      name: 'readings',
      kind: 'number',
      label: 'field.repeatabilityReadings',
      optional: true,
      initial: text(
        entry?.metrology.repeatability === undefined
          ? 10
          : entry.metrology.repeatability.degreesOfFreedom + 1,
      ),
    },
    {
      name: 'accuracyClass',
      kind: 'text',
      label: 'field.accuracyClass',
      optional: true,
      initial: entry?.accuracyClass ?? '',
    },
    {
      name: 'checkEveryHours',
      kind: 'number',
      label: 'field.checkEveryHours',
      optional: true,
      initial: text(entry === undefined ? 24 : entry.checkEveryHours),
    },
    {
      name: 'correct',
      kind: 'choice',
      label: 'field.correct',
      choices: [
        { value: 'yes', label: { key: 'instruments.correctedYes' } },
        { value: 'no', label: { key: 'instruments.correctedNo' } },
      ],
      initial: entry?.correctByCertificate === false ? 'no' : 'yes',
    },
  ];
  return {
    title: known === null ? 'action.registerInstrument' : 'action.correctInstrument',
    explanation: hasNoPort ? 'question.registerWithoutPort' : 'question.registerInstrument',
    warning: hidLack === null ? undefined : hidLackText(hidLack),
    fields: ofEntry,
    confirm: known === null ? 'action.registerInstrument' : 'action.correctInstrument',
    submit: (values) => register(values, { screen, snapshot }, hands, known),
  };
}

async function register(
  values: Readonly<Record<string, string>>,
  { screen, snapshot }: Pick<Situation, 'screen' | 'snapshot'>,
  hands: Hands,
  known: RegisteredInstrumentView | null,
): Promise<CallFailure | null> {
  const { port: portId = '', name = '', mpe = '', repeatability = '', checkEveryHours = '' } = values;
  const port = screen.desk.ports?.find((one) => one.portId === portId);
  const unit: Unit = unitSchema.catch('g').parse(values.unit);
  const isMass = (massUnits as readonly string[]).includes(unit);
  const simulated = port === undefined ? portId === noPort : port.simulated;
  const instrumentId = known?.instrumentId ?? values.instrumentId ?? '';
  const before = known?.entry;
  const failure = await manage(
    hands,
    {
      kind: 'registerInstrument',
      instrumentId,
      entry: {
        kind: isMass ? 'scale' : 'wrench',
        name,
        profileName: values.profileName ?? '',
        unit: before?.unit ?? null,
        serialNumber: values.serialNumber ?? '',
        portIdentity: port?.identity ?? (portId === noPort ? {} : (before?.portIdentity ?? {})),
        simulated,
        invented: snapshot?.simulated === true,
        metrology: {
          quantity: isMass ? 'mass' : 'torque',
          unit,
          ranges: [
            ...(before?.metrology.ranges.slice(0, -1) ?? []),
            { upTo: Number(values.capacity), resolution: Number(values.resolution) },
          ],
          ...(repeatability === ''
            ? {}
            : {
                repeatability: {
                  standardDeviation: Number(repeatability),
                  degreesOfFreedom: Number(values.readings) - 1,
                },
              }),
          ...(mpe === ''
            ? {}
            : {
                maximumPermissibleError:
                  values.mpeKind === 'relative'
                    ? { kind: 'relative', fraction: Number(`${mpe}e-2`) }
                    : { kind: 'absolute', value: Number(mpe) },
              }),
          ...(before?.metrology.driftPerDay === undefined
            ? {}
            : { driftPerDay: before.metrology.driftPerDay }),
          ...(before?.metrology.lever === undefined ? {} : { lever: before.metrology.lever }),
        },
        accuracyClass: values.accuracyClass === '' ? null : (values.accuracyClass ?? null),
        checkEveryHours: checkEveryHours === '' ? null : Number(checkEveryHours),
        correctByCertificate: values.correct !== 'no',
      },
    },
    { key: 'instruments.registered', parameters: { name } },
  );
  if (failure === null) hands.setDesk({ instrumentId });
  return failure;
}

function portOf(entry: Entry | undefined): string | undefined {
  return entry?.portIdentity.path;
}

function text(value: number | null | undefined): string {
  return value === null || value === undefined ? '' : String(value);
}
