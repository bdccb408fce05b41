import type { FoundJobView } from '../../../shared/audit/view.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import type { EvidenceReader, JobEntry } from '../store/evidence-reader.ts';
import { attempt } from './naming.ts';
import type { NamesOfPeople } from './people-names.ts';
import { createStepTitles, type StepTitles } from './sheet-titles.ts';

/** Readings of one job that a list shows; the timeline shows all. */
const mostShown = 12;

/** Jobs as the list of a search shows them, in the order given. */
export function foundJobs(
  reader: EvidenceReader,
  jobIds: readonly string[],
  nameOf: NamesOfPeople,
): FoundJobView[] {
  const stepTitle = createStepTitles(reader);
  return jobIds.flatMap((jobId) => {
    const job = reader.findJob(jobId);
    return job === undefined ? [] : [foundJob(reader, job, nameOf, stepTitle)];
  });
}

function foundJob(
  reader: EvidenceReader,
  job: JobEntry,
  nameOf: NamesOfPeople,
  stepTitle: StepTitles,
): FoundJobView {
  const { jobId, serial, headId, personId, openedAt, phase } = job;
  return {
    jobId,
    serial,
    headId,
    person: personId === null ? '' : nameOf(personId),
    openedAt,
    phase: phase ?? 'open',
    readings: reader.capturesOfJob(jobId, mostShown).map(({ sequence, stepId, quantity }) => ({
      sequence,
      stepId,
      stepTitle: stepTitle(jobId, stepId),
      quantity,
      measured: measuredAt(reader, sequence),
    })),
  };
}

/** What an intact event says; null for one that was altered or removed. */
function measuredAt(reader: EvidenceReader, sequence: number): FoundJobView['readings'][number]['measured'] {
  const stored = attempt(() => reader.eventAt(sequence));
  // Validated when it was written; the reader hands out nothing whose hash does not fit.
  const event = stored?.body as JobEvent | undefined;
  if (event?.kind !== 'measurementCaptured') return null;
  const { measured, judgement } = event.capture;
  return { text: measured.text ?? String(measured.value), unit: measured.unit, decision: judgement.decision };
}
