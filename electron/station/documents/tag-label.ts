import { dayOf } from '../../../shared/identifier.ts';
import type { Fact, Mark } from './block.ts';
import { createRecordContext } from './record-context.ts';
import type { ServiceRecordSource } from './service-record-source.ts';
import { isSimulated, outcomeMark } from './status-mark.ts';
import { createWording, type DocumentLanguage } from './wording/wording.ts';

/** What stands on the tag that goes back with the head. */
export interface TagLabel {
  readonly title: string;
  readonly author: string;
  readonly language: string;
  /** ISO 8601. */
  readonly createdAt: string;
  /** In readable text and in the 2D code, so that a scanner at intake types it. */
  readonly serial: string;
  readonly serialLabel: string;
  readonly head: string;
  readonly mark: Mark;
  readonly facts: readonly Fact[];
  /** Null on a tag of real readings. */
  readonly simulated: string | null;
  /** Lines under the code. */
  readonly record: readonly string[];
}

/** The tag of a job. One that is not released says so, as large as another says that it is. */
export function tagLabel(source: ServiceRecordSource, language: DocumentLanguage): TagLabel {
  const wording = createWording(language);
  const context = createRecordContext(source, wording);
  const { state } = context;
  const { record, label, watermark } = wording.say;
  const last = source.events.at(-1)?.event ?? context.opening;
  const isReleased = state.phase === 'released';
  return {
    title: `${record.label} ${state.serial}`,
    author: state.workshop,
    language,
    createdAt: last.at,
    serial: state.serial,
    serialLabel: record.serial,
    head: source.sheet === null ? state.headId : wording.of(source.sheet.head.name),
    mark: outcomeMark(context),
    facts: [
      { label: label.date, text: wording.day(dayOf(state.closedAt ?? state.openedAt)) },
      ...(isReleased && state.nextServiceDue !== null
        ? [{ label: label.next, text: wording.day(state.nextServiceDue) }]
        : []),
    ],
    simulated: isSimulated(context) ? watermark.simulated : null,
    record: source.proof === null ? [record.noRecord] : [label.record, source.proof.hash.slice(0, 16)],
  };
}
