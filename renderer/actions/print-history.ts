import type { Action } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Opens every visit of the serial as one document to print, in the language of the screen. */
export const printHistory: Action = {
  id: 'print-history',
  key: 'F9',
  place: 'desk',
  label: () => 'action.printHistory',
  offered: (situation) => atAudit(situation, 'serial'),
  enabled: ({ screen }) => !screen.busy && (screen.audit.timeline?.visits.length ?? 0) > 0,
  async run({ screen }, hands) {
    const serial = screen.audit.timeline?.serial;
    if (serial === undefined) return;
    const answer = await hands.ask('serialDocument', { serial, language: hands.language() });
    if (answer !== null) hands.openDocument(answer.value.url);
  },
};
