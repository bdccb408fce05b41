import type { Block, Tone } from './block.ts';
import type { RecordContext } from './record-context.ts';
import { isSimulated } from './status-mark.ts';

/** What a reader must know before reading on. */
export function noticeBlocks(context: RecordContext): readonly Block[] {
  const { wording, state, source } = context;
  const { notice } = wording.say;
  const blocks: Block[] = [];
  const add = (tone: Tone, title: string, text: string) => blocks.push({ kind: 'notice', tone, title, text });
  if (isSimulated(context)) add('bad', notice.simulated, notice.simulatedText);
  addEnd(context, add);
  if (source.sheet?.invented === true) add('neutral', notice.invented, notice.inventedText);
  if (source.sheet === null) add('warning', notice.noSheet, notice.noSheetText);
  const conceded = state.steps.filter(({ status }) => status === 'conceded');
  if (conceded.length > 0) {
    const steps = conceded.map(({ stepId }) => context.stepLabel(stepId)).join('; ');
    add('warning', notice.conceded, notice.concededText(conceded.length, steps));
  }
  const instruments = concededInstruments(context);
  if (instruments.length > 0) {
    add('warning', notice.instrument, notice.instrumentText(instruments.join(', ')));
  }
  if (state.amendments.length > 0) {
    add('warning', notice.amended, notice.amendedText(state.amendments.length));
  }
  const { proof } = source;
  const covered = proof && context.events.findLast(({ sequence }) => sequence <= proof.lastSequence);
  if (covered && covered.number < context.events.length - 1) {
    add('warning', notice.beyond, notice.beyondText(covered.number));
  }
  return blocks;
}

function addEnd(context: RecordContext, add: (tone: Tone, title: string, text: string) => void): void {
  const { state, wording, events } = context;
  const { notice } = wording.say;
  if (state.phase === 'open' || state.phase === 'held') add('neutral', notice.open, notice.openText);
  for (const { event } of events) {
    if (event.kind === 'jobAbandoned') {
      add('bad', notice.abandoned, notice.abandonedText(event.reason));
    } else if (event.kind === 'jobVoided') {
      const text = notice.voidedText(
        event.reason,
        context.name(event.personId),
        context.name(event.secondPersonId),
      );
      add('bad', notice.voided, text);
    }
  }
}

function concededInstruments({ events }: RecordContext): readonly string[] {
  const names = events.flatMap(({ event }) =>
    event.kind === 'measurementCaptured' && event.capture.instrument.concession !== null
      ? [`${event.capture.instrument.name} (${event.capture.instrument.instrumentId})`]
      : [],
  );
  return [...new Set(names)];
}
