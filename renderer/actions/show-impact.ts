import { chosenInstrument } from '../state/desk-state.ts';
import type { Action } from './action.ts';
import { atDesk } from './manage.ts';

/** Goes to what the as-found errors of the chosen instrument mean for the captures made with it. */
export const showImpact: Action = {
  id: 'show-impact',
  key: 'Shift+F4',
  place: 'desk',
  label: () => 'action.showImpact',
  offered: (situation) => atDesk(situation, 'instruments'),
  enabled: ({ screen }) => (chosenInstrument(screen.desk)?.certificates.length ?? 0) > 0,
  run({ screen }, hands) {
    const impactInstrumentId = chosenInstrument(screen.desk)?.instrumentId ?? null;
    hands.setAudit({ tab: 'impact', impactInstrumentId, impactCertificate: null, impactSince: '' });
    hands.set({ screen: 'audit', notice: null });
  },
};
