import type { TimelineView } from '../../shared/contract.ts';
import { Timeline } from '../screens/audit/timeline.tsx';
import { useSituation, useWording } from '../workbench.ts';
import { PageDialog } from './page-dialog.tsx';

/** Earlier visits of the serial in hand. */
export function HistoryDialog({ timeline }: { readonly timeline: TimelineView }) {
  const { say } = useWording();
  const { job } = useSituation();
  const earlier = timeline.visits.filter(({ jobId }) => jobId !== job?.state.jobId);
  return (
    <PageDialog title={say('history.title', { serial: timeline.serial })} wide>
      {earlier.length === 0 ? <p>{say('history.none')}</p> : null}
      <Timeline timeline={timeline} brief />
    </PageDialog>
  );
}
