import { chosen } from '../state/situation.ts';
import { type Action, atBench, refusedHere } from './action.ts';

/** Looks up the serial that was scanned or typed, or takes the chosen open job in hand. */
export const enterSerial: Action = {
  id: 'enter-serial',
  key: 'Enter',
  place: 'main',
  label: (situation) =>
    situation.draft.text.trim() === '' && chosen(situation) !== null
      ? 'action.takeInHand'
      : 'action.enterSerial',
  offered: (situation) => atBench(situation) && situation.phase === 'start',
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const serial = situation.draft.text.trim();
    const job = chosen(situation);
    if (serial === '') {
      if (job === null) hands.say(refusedHere('refusal.serialMissing'));
      else await hands.ask('takeInHand', { jobId: job.id });
      return;
    }
    const answer = await hands.ask('lookUpSerial', { serial });
    if (answer === null) return;
    if (answer.value.openJobId !== null) await hands.ask('takeInHand', { jobId: answer.value.openJobId });
    else hands.set({ lookedUp: answer.value });
  },
};
