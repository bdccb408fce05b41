import { chosen } from '../state/situation.ts';
import { type Action, atBench, refusedHere } from './action.ts';

/** Opens a job for the serial just looked up, with the chosen service sheet. */
export const openJob: Action = {
  id: 'open-job',
  key: 'Enter',
  place: 'main',
  label: () => 'action.openJob',
  offered: (situation) => atBench(situation) && situation.phase === 'sheets',
  enabled: (situation) => !situation.screen.busy && situation.choices.length > 0,
  async run(situation, hands) {
    const serial = situation.screen.lookedUp?.serial;
    const sheetId = chosen(situation)?.id;
    const sheet = situation.screen.lookedUp?.sheets.find((candidate) => candidate.sheetId === sheetId);
    if (serial === undefined || sheet === undefined) {
      hands.say(refusedHere('refusal.chooseSheetFirst'));
      return;
    }
    const done = await hands.command({
      kind: 'openJob',
      serial,
      headId: sheet.headId,
      sheetId: sheet.sheetId,
    });
    if (done) hands.set({ lookedUp: null, outcome: null });
  },
};
