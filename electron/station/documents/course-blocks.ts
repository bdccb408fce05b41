import type { JobEvent } from '../../../shared/job/event.ts';
import type { Block, Fact } from './block.ts';
import type { RecordContext } from './record-context.ts';
import { entryBlock, standsAtStep } from './step-blocks.ts';

/** What happened to the job as a whole, in order. With the steps, every event stands in the record. */
export function courseBlocks(context: RecordContext): readonly Block[] {
  return [
    { kind: 'heading', text: context.wording.say.section.history },
    ...context.events
      .filter(({ event }) => !standsAtStep(event))
      .map((numbered) => entryBlock(context, numbered, entryOf(context, numbered.event))),
  ];
}

function entryOf(
  { wording, name, person }: RecordContext,
  event: JobEvent,
): { text: string; facts?: readonly Fact[] } {
  const { entry } = wording.say;
  const reason = (text: string | undefined): readonly Fact[] =>
    text === undefined ? [] : [{ label: entry.reason, text }];
  switch (event.kind) {
    case 'jobOpened':
      return { text: entry.opened };
    case 'noteWritten':
      return { text: entry.note, facts: [{ label: entry.note, text: event.text }] };
    case 'jobHeld':
      return { text: entry.held, facts: reason(event.reason) };
    case 'jobResumed':
      return { text: entry.resumed };
    case 'jobHandedOver':
      return {
        text: entry.handedOver(person(event.toPersonId)),
        facts: event.remark === undefined ? [] : [{ label: entry.remark, text: event.remark }],
      };
    case 'jobAbandoned':
      return { text: entry.abandoned, facts: reason(event.reason) };
    case 'jobReleased': {
      const { captures, failedAttempts, concessions } = event.summary;
      return {
        text: entry.released,
        facts: [
          {
            label: entry.summary,
            text: entry.releasedSummary(captures, failedAttempts, concessions.length),
          },
        ],
      };
    }
    case 'jobVoided':
      return { text: entry.voided(person(event.secondPersonId)), facts: reason(event.reason) };
    case 'amendmentMade':
      return {
        text: entry.amended(event.of),
        facts: [{ label: entry.corrected, text: event.text }, ...reason(event.reason)],
      };
    default:
      throw new Error(
        `${event.kind} by ${name(event.personId)} stands at a step, not in the course of the job`,
      );
  }
}
