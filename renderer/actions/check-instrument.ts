import { weightClassSchema } from '../../shared/calibration/check-weight.ts';
import { judgeDailyCheck } from '../../shared/calibration/daily-check.ts';
import { checkLimit } from '../../shared/instrument/check-limit.ts';
import type { RegisteredInstrumentView } from '../../shared/management-view.ts';
import { massUnits, torqueUnits, type Unit, unitSchema } from '../../shared/quantity/unit.ts';
import { chosenInstrument } from '../state/desk-state.ts';
import type { CallFailure } from '../station-client.ts';
import { unitName } from '../wording/unit-name.ts';
import type { Action, Hands } from './action.ts';
import { atDesk, manage, signedInMay } from './manage.ts';

/** The daily check: a known mass or torque against what the instrument shows. */
export const checkInstrument: Action = {
  id: 'check-instrument',
  key: 'F3',
  place: 'desk',
  label: ({ screen }) =>
    chosenInstrument(screen.desk)?.entry.kind === 'wrench' ? 'action.checkWrench' : 'action.checkInstrument',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: (situation) =>
    signedInMay(situation, 'recordInstrumentCheck') &&
    chosenInstrument(situation.screen.desk)?.retired === null,
  run({ screen }, hands) {
    const instrument = chosenInstrument(screen.desk);
    if (instrument === undefined) return;
    const { instrumentId, entry, checks } = instrument;
    const isMass = entry.metrology.quantity === 'mass';
    const before = checks.at(-1);
    const reading = hands.reading(instrumentId)?.indication;
    const unit: Unit = before?.reference.unit ?? entry.metrology.unit;
    const units = (isMass ? massUnits : torqueUnits).map((value) => ({ value, label: unitName(value) }));
    hands.open({
      kind: 'question',
      question: {
        title: isMass ? 'action.checkInstrument' : 'action.checkWrench',
        explanation: isMass ? 'question.check' : 'question.checkWrench',
        fields: [
          {
            name: 'indication',
            kind: 'number',
            label: 'field.indication',
            initial: isMass ? (reading?.text ?? '').replace(/^\+/, '').trim() : '',
          },
          {
            name: 'indicationUnit',
            kind: 'choice',
            label: 'field.indicationUnit',
            choices: units,
            initial: reading?.unit ?? entry.unit ?? entry.metrology.unit,
          },
          {
            name: 'name',
            kind: 'text',
            label: 'field.checkReference',
            initial: before?.reference.name ?? '',
          },
          {
            name: 'value',
            kind: 'number',
            label: 'field.referenceValue',
            initial: before === undefined ? '' : String(before.reference.value),
          },
          { name: 'unit', kind: 'choice', label: 'field.referenceUnit', choices: units, initial: unit },
          ...(isMass
            ? [
                {
                  name: 'weightClass',
                  kind: 'choice' as const,
                  label: 'field.weightClass' as const,
                  optional: true,
                  choices: weightClassSchema.options.map((value) => ({ value, label: value })),
                  initial: before?.reference.weightClass ?? '',
                },
              ]
            : []),
          { name: 'limit', kind: 'number', label: 'field.checkLimit', optional: true },
        ],
        confirm: isMass ? 'action.checkInstrument' : 'action.checkWrench',
        submit: (values) => check(values, instrument, unit, hands),
      },
    });
  },
};

async function check(
  values: Readonly<Record<string, string>>,
  { instrumentId, entry }: RegisteredInstrumentView,
  usual: Unit,
  hands: Hands,
): Promise<CallFailure | null> {
  const { name = '', limit: asked = '' } = values;
  const unit = unitSchema.catch(usual).parse(values.unit);
  const weightClass = weightClassSchema.safeParse(values.weightClass);
  const reference = {
    name,
    value: Number(values.value),
    unit,
    ...(weightClass.success ? { weightClass: weightClass.data } : {}),
  };
  const indication = {
    value: Number(values.indication),
    unit: unitSchema.catch(usual).parse(values.indicationUnit),
  };
  const limit = asked === '' ? undefined : { value: Number(asked), unit };
  const failure = await manage(
    hands,
    {
      kind: 'recordInstrumentCheck',
      instrumentId,
      reference,
      indication,
      ...(limit === undefined ? {} : { limit }),
    },
    null,
  );
  if (failure !== null) return failure;
  // The station has judged it by the same rules; here it is only put into words.
  const allowed = checkLimit(entry.metrology, reference, limit);
  const judged = allowed.ok ? judgeDailyCheck({ reference, indication, limit: allowed.value }) : allowed;
  if (allowed.ok && judged.ok) {
    const parameters = {
      difference: `${judged.value.difference.text} ${unitName(judged.value.difference.unit)}`,
      limit: `± ${allowed.value.value} ${unitName(allowed.value.unit)}`,
    };
    hands.say(
      judged.value.passed
        ? { tone: 'done', key: 'checks.saidPassed', parameters }
        : { tone: 'refused', key: 'checks.saidFailed', parameters },
    );
  }
  return null;
}
