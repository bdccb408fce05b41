import { type AuditTab, auditTabs, tabsAt } from '../state/audit-state.ts';
import type { Situation } from '../state/situation.ts';
import type { Action } from './action.ts';

/** Is this the audit screen with somebody signed in, at that tab? */
export function atAudit({ screen, snapshot }: Situation, tab?: AuditTab): boolean {
  if (screen.screen !== 'audit' || snapshot?.signedIn == null) return false;
  return tab === undefined || screen.audit.tab === tab;
}

const keys: Readonly<Record<AuditTab, string>> = {
  serial: 'F3',
  search: 'F4',
  charts: 'F5',
  export: 'F6',
  impact: 'Shift+F6',
  lots: 'Shift+F7',
  stations: 'Shift+F9',
};

function showTab(tab: AuditTab): Action {
  return {
    id: `audit-${tab}`,
    key: keys[tab],
    place: 'silent',
    label: () => `audit.tab.${tab}`,
    offered: (situation) => atAudit(situation) && tabsAt(situation.snapshot).includes(tab),
    enabled: () => true,
    run(_situation, hands) {
      hands.setAudit({ tab });
      hands.set({ notice: null });
    },
  };
}

/** One action for each tab of the audit screen. */
export const showAuditTabs: readonly Action[] = auditTabs.map(showTab);
