import { visitName } from '../state/audit-state.ts';
import type { Action } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Two visits of the serial side by side, the two newest at first; once more: all of them again. */
export const compareVisits: Action = {
  id: 'compare-visits',
  key: 'F7',
  place: 'desk',
  label: ({ screen }) => (screen.audit.compared === null ? 'action.compareVisits' : 'action.showAllVisits'),
  offered: (situation) => atAudit(situation, 'serial'),
  enabled: ({ screen }) => (screen.audit.timeline?.visits.length ?? 0) > 1,
  run({ screen }, hands) {
    const { timeline, compared } = screen.audit;
    // Oldest first, as the station gives them.
    const [older, newer] = (timeline?.visits ?? []).slice(-2);
    if (older === undefined || newer === undefined) return;
    hands.setAudit({ compared: compared === null ? [visitName(older), visitName(newer)] : null });
  },
};
