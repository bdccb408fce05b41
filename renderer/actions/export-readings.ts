import type { ExportWish } from '../../shared/audit/filter.ts';
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

/** Is a bundle made at a site? It is of one serial at all benches, or of one whole chain. */
export function isSiteBundle(
  { format }: Pick<AuditState, 'format'>,
  snapshot: Pick<Snapshot, 'site'> | null,
): boolean {
  return format === 'bundle' && snapshot?.site !== undefined;
}

/** What is asked for: what the screen does not show is not. Null where a serial is to be given first. */
function wishOf({ screen, snapshot }: Situation): Pick<ExportWish, 'filter' | 'chainId'> | null {
  const { audit } = screen;
  if (!isSiteBundle(audit, snapshot)) return { filter: audit.filter };
  if (audit.bundleChainId !== null) return { filter: {}, chainId: audit.bundleChainId };
  const { serial } = audit.filter;
  return serial === undefined ? null : { filter: { serial } };
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
  async run(situation, hands) {
    const { format, exportId } = situation.screen.audit;
    const wish = wishOf(situation);
    if (wish === null) return hands.say(refusedHere('refusal.serialOfBundle'));
    if (!hasDays(wish.filter)) return hands.say(refusedHere('refusal.noDay'));
    // From here on nobody fetches the file of the one before for this one.
    hands.setAudit({ exportId: null });
    const answer = await hands.ask('startExport', { ...wish, format, language: hands.language() });
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
