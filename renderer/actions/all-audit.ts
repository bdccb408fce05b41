import type { Action } from './action.ts';
import { amendRecord } from './amend-record.ts';
import { showAuditTabs } from './audit-tab.ts';
import { compareVisits } from './compare-visits.ts';
import { signInAtDesk } from './desk-sign-in.ts';
import { drawChart } from './draw-chart.ts';
import { fetchExport, fetchSchema, startExport, stopExport } from './export-readings.ts';
import { fetchImpact, startImpact, stopImpact } from './judge-impact.ts';
import { printHistory } from './print-history.ts';
import { clearFilter, removeView, saveView } from './saved-view.ts';
import { searchJobs, showOlderJobs } from './search-jobs.ts';
import { traceLot } from './trace-lot.ts';
import { verifyChain } from './verify-evidence.ts';
import { voidJob } from './void-job.ts';

/** What can be done on the audit screen besides looking up a serial and verifying, in the order in which it is shown. */
export const auditActions: readonly Action[] = [
  signInAtDesk,
  ...showAuditTabs,
  searchJobs,
  verifyChain,
  traceLot,
  drawChart,
  startExport,
  compareVisits,
  printHistory,
  amendRecord,
  voidJob,
  showOlderJobs,
  stopExport,
  fetchExport,
  fetchSchema,
  startImpact,
  stopImpact,
  fetchImpact,
  clearFilter,
  saveView,
  removeView,
];
