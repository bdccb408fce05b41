import type { AuditFilter } from '../../../shared/audit/filter.ts';
import { useWorkbench } from '../../workbench.ts';
import { showJobs } from './show-jobs.ts';

/** From an instrument, a certificate or a lot to every job. */
export function JobsWith({ label, filter }: { readonly label: string; readonly filter: AuditFilter }) {
  const { hands } = useWorkbench();
  return (
    <button type="button" className="link" onClick={() => void showJobs(hands, filter)}>
      {label}
    </button>
  );
}
