import { identifierSchema } from '../../shared/identifier.ts';
import { type Action, refusedHere } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Shows a lot at every bench of the site that used it, and the jobs. */
export const traceLot: Action = {
  id: 'trace-lot',
  key: 'Enter',
  place: 'main',
  label: () => 'action.traceLot',
  offered: (situation) => atAudit(situation, 'lots'),
  enabled: ({ screen }) => !screen.busy,
  async run({ screen }, hands) {
    const text = screen.audit.filter.lotId?.trim() ?? '';
    if (text === '') return hands.say(refusedHere('refusal.lotOfTrace'));
    const lotId = identifierSchema.safeParse(text);
    if (!lotId.success) return hands.say(refusedHere('refusal.lotSpelling'));
    const answer = await hands.ask('siteLot', { lotId: lotId.data });
    if (answer !== null) hands.setAudit({ lotTrace: { lotId: lotId.data, ...answer.value } });
  },
};
