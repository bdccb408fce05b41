import { hasDays } from '../state/audit-state.ts';
import { type Action, refusedHere } from './action.ts';
import { askedStation } from './asked-station.ts';
import { atAudit } from './audit-tab.ts';

/** Draws the chart that was chosen: fill, torque, or the checks of an instrument. */
export const drawChart: Action = {
  id: 'draw-chart',
  key: 'Enter',
  place: 'main',
  label: () => 'action.drawChart',
  offered: (situation) => atAudit(situation, 'charts'),
  enabled: ({ screen }) => !screen.busy,
  async run(situation, hands) {
    const { filter, chartKind, chartLength, rules } = situation.screen.audit;
    const station = askedStation(situation);
    if (station === null) return hands.say(refusedHere('refusal.chooseStationFirst'));
    if (chartKind === 'checks') {
      if (filter.instrumentId === undefined) {
        hands.say(refusedHere('refusal.chooseInstrumentFirst'));
        return;
      }
      const answer = await hands.ask('checkChart', { instrumentId: filter.instrumentId, ...station });
      if (answer !== null) hands.setAudit({ checks: answer.value, chart: null });
      return;
    }
    // Decisions would cut the process off where it is judged: a chart of what passed says nothing.
    const { decision: _, ...asked } = filter;
    if (!hasDays(asked)) return hands.say(refusedHere('refusal.noDay'));
    const answer = await hands.ask('processChart', {
      filter: { ...asked, quantity: chartKind },
      last: chartLength,
      rules,
      ...station,
    });
    if (answer !== null) hands.setAudit({ chart: answer.value, checks: null });
  },
};
