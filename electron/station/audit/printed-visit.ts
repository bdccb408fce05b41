import type { Limits } from '../../../shared/acceptance/conformance.ts';
import { findingText } from '../../../shared/audit/finding.ts';
import type { JobEventOf } from '../../../shared/job/event.ts';
import { decimalsOfJudgement, fixedText, percentParts } from '../documents/wording/number-text.ts';
import { rawBytesOf, shownBytes } from './reading-row.ts';
import type { TimelineEvent, Visit } from './timeline.ts';

/** A visit in words, for a terminal. */
export function printedVisit({ job, opening, captures, events, recordHash, damage }: Visit): string {
  const event = opening?.event;
  const simulated = event?.simulated === true ? '  SIMULATED' : '';
  const lots = events.flatMap(({ event: { kind, ...rest } }) =>
    kind === 'consumableUsed' && 'lotId' in rest && rest.lotId !== null ? [rest.lotId] : [],
  );
  return [
    `Visit ${event?.at ?? job.openedAt}  job ${job.jobId}  head ${job.headId}  ${job.phase ?? 'open'}${simulated}`,
    `  sheet ${event?.sheetId ?? 'unknown'} revision ${event?.sheetRevision ?? 'unknown'}, opened by ${job.personId ?? 'unknown'}${lots.length > 0 ? `, lots ${lots.join(', ')}` : ''}`,
    ...damage.map((found) => `  DAMAGED: ${findingText(found)}`),
    ...captures.flatMap(printedCapture),
    recordHash === null ? '  no record yet' : `  record ${recordHash}`,
  ].join('\n');
}

function printedCapture({ stored, event }: TimelineEvent<JobEventOf<'measurementCaptured'>>): string[] {
  const { capture } = event;
  const { judgement, instrument, indication, tare } = capture;
  const { acceptance, tolerance, uncertainty, unit } = judgement;
  const bytes = rawBytesOf(capture.evidence);
  const decimals = decimalsOfJudgement(judgement);
  const fixed = (value: number) => fixedText(value, decimals);
  const range = (limits: Limits) => `${bound(limits.lower, '-∞')}…${bound(limits.upper, '∞')} ${unit}`;
  const bound = (limit: number | null, without: string) => (limit === null ? without : fixed(limit));
  const { sign, text } = percentParts(judgement.conformance);
  return [
    `  ${event.at}  ${capture.quantity} at step ${event.stepId}, attempt ${capture.attempt}, by ${event.personId}`,
    `    ${fixed(judgement.value)} ${unit}  ${judgement.decision.toUpperCase()}  conformance ${sign}${text} %`,
    `    accepted ${acceptance === null ? 'nothing' : range(acceptance)}, tolerated ${range(tolerance)}, U = ${fixed(uncertainty.expanded)} ${uncertainty.unit} (k = ${fixedText(uncertainty.k, 2)}), rule ${capture.rule.kind}`,
    `    shown ${indication.text} ${indication.unit} ${indication.state}${tare === undefined ? '' : `, tare ${tare.indication.text} ${tare.indication.unit}`}`,
    `    ${instrument.name} (${instrument.instrumentId}), certificate ${instrument.certificateNumber ?? 'none'}, due ${instrument.calibrationDue ?? 'unknown'}, profile ${instrument.profileName}`,
    `    bytes ${shownBytes(bytes)}`,
    `    hex ${bytes.toString('hex')}`,
    `    event ${stored.sequence} ${stored.hash}`,
  ];
}
