import { partChoiceSchema } from '../../shared/sheet/step.ts';
import { chosen } from '../state/situation.ts';
import { type Action, atStep, refusedHere, toStep } from './action.ts';

/** Decides what becomes of a part: used again, replaced or scrapped. */
export const disposePart: Action = {
  id: 'dispose-part',
  key: 'Enter',
  place: 'main',
  label: () => 'action.disposePart',
  offered: (situation) => atStep(situation, 'disposition'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const target = toStep(situation);
    const choice = partChoiceSchema.safeParse(chosen(situation)?.id);
    if (target === null || situation.step?.kind !== 'disposition') return;
    if (!choice.success) {
      hands.say(refusedHere('refusal.choosePartFirst'));
      return;
    }
    const reason = situation.draft.text.trim();
    const replacement = situation.draft.second.trim();
    if (reason === '' && situation.step.reasonRequiredFor.includes(choice.data)) {
      hands.say(refusedHere('refusal.reasonMissing'));
      return;
    }
    await hands.command({
      kind: 'disposePart',
      ...target,
      choice: choice.data,
      ...(reason === '' ? {} : { reason }),
      ...(choice.data === 'replace' && replacement !== '' ? { replacement } : {}),
    });
  },
};
