import { type DecimalSign, parseTypedNumber } from '../../shared/quantity/typed-number.ts';
import { type Action, atStep, attemptsLeft, toStep } from './action.ts';

/** Records the number typed, read with the decimal sign of this screen. */
export function recordNumeric(decimalSign: () => DecimalSign): Action {
  return {
    id: 'record-numeric',
    key: 'Enter',
    place: 'main',
    label: () => 'action.recordNumeric',
    offered: (situation) => atStep(situation, 'numeric'),
    enabled: (situation) => !situation.screen.busy && attemptsLeft(situation),
    async run(situation, hands) {
      const step = toStep(situation);
      if (step === null) return;
      const typed = parseTypedNumber(situation.draft.text, decimalSign());
      if (!typed.ok) {
        hands.say({
          tone: 'refused',
          key: typed.error.code === 'empty' ? 'refusal.numberMissing' : 'refusal.numberSpelling',
          parameters: { sign: decimalSign() },
        });
        return;
      }
      await hands.command({ kind: 'recordNumeric', ...step, text: typed.value.text });
    },
  };
}
