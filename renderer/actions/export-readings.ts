import type { Snapshot } from '../../shared/contract.ts';
import { mayDo } from '../../shared/people/permission.ts';
import { type AuditState, exportInHand, hasDays } from '../state/audit-state.ts';
import type { Situation } from '../state/situation.ts';
import { type Action, refusedHere } from './action.ts';
import { atAudit } from './audit-tab.ts';

function progressOf({ screen, exported }: Situation) {
  return exportInHand(screen.audit, exported);
}

/** May the person signed in have files of the evidence made? */
export function mayExport({ snapshot }: Pick<Situation, 'snapshot'>): boolean {
  return mayDo(snapshot?.signedIn?.roles ?? [], 'exportEvidence');
}

/** At a site a bundle is of one serial: the whole chain of a station is for the command. */
export function isBundleOfSerial(
  format: AuditState['format'],
  snapshot: Pick<Snapshot, 'site'> | null,
): boolean {
  return format === 'bundle' && snapshot?.site !== undefined;
}

/** Starts the export of what the filter names, in the language of the screen. */
export const startExport: Action = {
  id: 'start-export',
  key: 'Enter',
  place: 'main',
  label: () => 'action.startExport',
  offered: (situation) => atAudit(situation, 'export'),
  enabled: (situation) =>
    !situation.screen.busy && mayExport(situation) && progressOf(situation)?.state !== 'running',
  async run({ screen, snapshot }, hands) {
    const { format } = screen.audit;
    // What the screen does not show there is not asked for.
    const { serial } = screen.audit.filter;
    const isOfSerial = isBundleOfSerial(format, snapshot);
    if (isOfSerial && serial === undefined) return hands.say(refusedHere('refusal.serialOfBundle'));
    const filter = isOfSerial ? { serial } : screen.audit.filter;
    if (!hasDays(filter)) return hands.say(refusedHere('refusal.noDay'));
    // From here on nobody fetches the file of the one before for this one.
    const { exportId } = screen.audit;
    hands.setAudit({ exportId: null });
    const answer = await hands.ask('startExport', { filter, format, language: hands.language() });
    hands.setAudit({ exportId: answer?.value.exportId ?? exportId });
  },
};

/** Stops the export that runs; nothing of it is kept. */
export const stopExport: Action = {
  id: 'stop-export',
  key: 'F7',
  place: 'desk',
  label: () => 'action.stopExport',
  offered: (situation) => atAudit(situation, 'export'),
  enabled: (situation) => progressOf(situation)?.state === 'running',
  async run({ screen }, hands) {
    const { exportId } = screen.audit;
    if (exportId !== null) await hands.ask('stopExport', { exportId });
  },
};

/** Fetches the file of a complete export. */
export const fetchExport: Action = {
  id: 'fetch-export',
  key: 'F9',
  place: 'desk',
  label: () => 'action.fetchExport',
  offered: (situation) => atAudit(situation, 'export'),
  enabled: (situation) => progressOf(situation)?.state === 'ready',
  run(situation, hands) {
    const url = progressOf(situation)?.url;
    if (url != null) hands.download(url);
  },
};

/** Fetches the JSON Schema of a line of readings. */
export const fetchSchema: Action = {
  id: 'fetch-schema',
  key: 'F10',
  place: 'desk',
  label: () => 'action.fetchSchema',
  offered: (situation) => atAudit(situation, 'export'),
  enabled: () => true,
  run(_situation, hands) {
    hands.download('/exports/reading.schema.json');
  },
};
