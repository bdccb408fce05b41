import type { AuditFilter } from '../../../shared/audit/filter.ts';
import type { Hands } from '../../actions/action.ts';

/** Goes to the search and shows every job that meets a filter. */
export async function showJobs(hands: Hands, filter: AuditFilter): Promise<void> {
  hands.setAudit({ tab: 'search', filter, viewName: null, jobs: null, before: null });
  const answer = await hands.ask('searchJobs', { filter, before: null });
  if (answer !== null) hands.setAudit({ jobs: answer.value.jobs, before: answer.value.before });
}
