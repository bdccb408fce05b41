import { chosenCalibration } from '../state/audit-state.ts';
import { isDayOrEmpty } from '../state/typed-day.ts';
import { type Action, refusedHere } from './action.ts';
import { askedStation } from './asked-station.ts';
import { atAudit } from './audit-tab.ts';
import { mayExport } from './export-readings.ts';

/** Judges every capture of an instrument again with what one of its calibrations found. */
export const startImpact: Action = {
  id: 'start-impact',
  key: 'Enter',
  place: 'main',
  label: () => 'action.startImpact',
  offered: (situation) => atAudit(situation, 'impact'),
  enabled: (situation) =>
    !situation.screen.busy && mayExport(situation) && situation.impact?.state !== 'running',
  async run(situation, hands) {
    const { screen } = situation;
    const { impactSince } = screen.audit;
    const station = askedStation(situation);
    if (station === null) return hands.say(refusedHere('refusal.chooseStationFirst'));
    const chosen = chosenCalibration(screen.audit);
    if (chosen === null) return hands.say(refusedHere('refusal.chooseCalibration'));
    if (!isDayOrEmpty(impactSince)) return hands.say(refusedHere('refusal.noDay'));
    await hands.ask('startImpact', {
      instrumentId: chosen.instrument.instrumentId,
      certificateHash: chosen.calibration.hash,
      language: hands.language(),
      ...station,
      ...(impactSince === '' ? {} : { since: impactSince }),
    });
  },
};

/** Stops judging again; nothing of it is kept. */
export const stopImpact: Action = {
  id: 'stop-impact',
  key: 'F7',
  place: 'desk',
  label: () => 'action.stopImpact',
  offered: (situation) => atAudit(situation, 'impact'),
  enabled: ({ impact }) => impact?.state === 'running',
  async run({ impact }, hands) {
    if (impact !== null) await hands.ask('stopExport', { exportId: impact.exportId });
  },
};

/** Saves the table of all captures that were judged again. */
export const fetchImpact: Action = {
  id: 'fetch-impact',
  key: 'F9',
  place: 'desk',
  label: () => 'action.fetchImpact',
  offered: (situation) => atAudit(situation, 'impact'),
  enabled: ({ impact }) => impact?.state === 'ready',
  run({ impact }, hands) {
    if (impact?.url != null) hands.download(impact.url);
  },
};
