import type { FoundJobView } from '../../shared/audit/view.ts';
import { hasDays } from '../state/audit-state.ts';
import { type Action, refusedHere } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Finds the jobs that meet the filter, the newest first. */
export const searchJobs: Action = {
  id: 'search-jobs',
  key: 'Enter',
  place: 'main',
  label: () => 'action.searchJobs',
  offered: (situation) => atAudit(situation, 'search'),
  enabled: ({ screen }) => !screen.busy,
  async run({ screen }, hands) {
    if (!hasDays(screen.audit.filter)) return hands.say(refusedHere('refusal.noDay'));
    const answer = await hands.ask('searchJobs', { filter: screen.audit.filter, before: null });
    if (answer !== null) hands.setAudit({ jobs: answer.value.jobs, before: answer.value.before });
  },
};

/** Adds the next page of older jobs. */
export const showOlderJobs: Action = {
  id: 'show-older-jobs',
  key: 'F10',
  place: 'desk',
  label: () => 'action.showOlderJobs',
  offered: (situation) => atAudit(situation, 'search'),
  enabled: ({ screen }) => !screen.busy && screen.audit.before !== null,
  async run({ screen }, hands) {
    const { filter, before, jobs } = screen.audit;
    const answer = await hands.ask('searchJobs', { filter, before });
    if (answer === null) return;
    const known = new Set((jobs ?? []).map(nameOf));
    const older = answer.value.jobs.filter((job) => !known.has(nameOf(job)));
    hands.setAudit({ jobs: [...(jobs ?? []), ...older], before: answer.value.before });
  },
};

/** Among the benches of a site a job is one of its station. */
function nameOf({ jobId, place }: FoundJobView): string {
  return place === undefined ? jobId : `${place.stationId} ${jobId}`;
}
