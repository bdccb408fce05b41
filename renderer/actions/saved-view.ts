import type { Situation } from '../state/situation.ts';
import { type Action, failureOf } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Does what is shown follow the filter? */
function hasFilter(situation: Situation): boolean {
  const { tab } = situation.screen.audit;
  return atAudit(situation) && tab !== 'serial' && tab !== 'stations' && tab !== 'impact';
}

/** Views are kept at the bench alone: from another desk nothing is written. */
function canKeepViews(situation: Situation): boolean {
  return hasFilter(situation) && situation.snapshot?.readOnly !== true;
}

/** Keeps the filter under a name, for this person on every screen. */
export const saveView: Action = {
  id: 'save-view',
  key: 'Shift+F4',
  place: 'desk',
  label: () => 'action.saveView',
  offered: canKeepViews,
  enabled: ({ screen }) => Object.keys(screen.audit.filter).length > 0,
  run({ screen }, hands) {
    const { filter, viewName } = screen.audit;
    hands.open({
      kind: 'question',
      question: {
        title: 'action.saveView',
        explanation: 'question.saveView',
        fields: [
          {
            name: 'name',
            kind: 'text',
            label: 'field.viewName',
            ...(viewName === null ? {} : { initial: viewName }),
          },
        ],
        confirm: 'action.saveView',
        async submit({ name = '' }) {
          const outcome = await hands.call('saveView', { view: { name, filter } });
          if (outcome.ok) hands.setAudit({ views: outcome.value.views, viewName: name.trim() });
          return failureOf(outcome);
        },
      },
    });
  },
};

/** Forgets the view that is applied; the filter stays. */
export const removeView: Action = {
  id: 'remove-view',
  key: 'Shift+F5',
  place: 'desk',
  label: () => 'action.removeView',
  offered: canKeepViews,
  enabled: ({ screen }) => screen.audit.viewName !== null,
  async run({ screen }, hands) {
    const { viewName } = screen.audit;
    if (viewName === null) return;
    const answer = await hands.ask('removeView', { name: viewName });
    if (answer !== null) hands.setAudit({ views: answer.value.views, viewName: null });
  },
};

/** Empties the filter. */
export const clearFilter: Action = {
  id: 'clear-filter',
  key: 'Shift+F3',
  place: 'desk',
  label: () => 'action.clearFilter',
  offered: hasFilter,
  enabled: ({ screen }) => Object.keys(screen.audit.filter).length > 0,
  run(_situation, hands) {
    hands.setAudit({ filter: {}, viewName: null });
  },
};
