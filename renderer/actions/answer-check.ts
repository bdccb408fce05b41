import { chosen } from '../state/situation.ts';
import { type Action, atStep, refusedHere, toStep } from './action.ts';

/** Answers the question of a check with the yes or no chosen. */
export const answerCheck: Action = {
  id: 'answer-check',
  key: 'Enter',
  place: 'main',
  label: () => 'action.answerCheck',
  offered: (situation) => atStep(situation, 'check'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    const answer = chosen(situation)?.id;
    if (step === null) return;
    if (answer !== 'yes' && answer !== 'no') {
      hands.say(refusedHere('refusal.chooseAnswerFirst'));
      return;
    }
    const remark = situation.draft.text.trim();
    await hands.command({
      kind: 'answerCheck',
      ...step,
      answer,
      ...(answer === 'no' && remark !== '' ? { remark } : {}),
    });
  },
};
