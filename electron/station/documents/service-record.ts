import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import type { Block, DocumentModel, Section } from './block.ts';
import { shortHash } from './capture-block.ts';
import { courseBlocks } from './course-blocks.ts';
import { noticeBlocks } from './notice-blocks.ts';
import { createRecordContext, type RecordContext } from './record-context.ts';
import { consumableBlocks, instrumentBlocks, resultBlocks, signatureBlocks } from './record-tables.ts';
import type { ServiceRecordSource } from './service-record-source.ts';
import { isSimulated, outcomeMark } from './status-mark.ts';
import { stepBlocks } from './step-blocks.ts';
import { createWording, type DocumentLanguage, type Wording } from './wording/wording.ts';

/** The record of one job, as a document that is not drawn yet. */
export function serviceRecord(source: ServiceRecordSource, language: DocumentLanguage): DocumentModel {
  const wording = createWording(language);
  const context = createRecordContext(source, wording);
  const { serial, workshop, jobId } = context.state;
  return {
    title: `${wording.say.record.title} ${serial}`,
    subject: `${wording.say.record.job} ${jobId}`,
    author: workshop,
    language,
    createdAt: createdAt(context),
    page: wording.say.record.page,
    sections: [recordSection(context)],
  };
}

/**
 * Every visit of a serial, oldest first, in one document behind a list of the visits.
 *
 * @param sources at least one, all of the same serial
 */
export function serialHistory(
  serial: string,
  sources: readonly ServiceRecordSource[],
  language: DocumentLanguage,
): DocumentModel {
  const wording = createWording(language);
  const contexts = sources.map((source) => createRecordContext(source, wording));
  const last = contexts.at(-1);
  if (last === undefined) throw new Error('a service history needs at least one visit');
  return {
    title: `${wording.say.record.visitsTitle} ${serial}`,
    subject: `${wording.say.record.serial} ${serial}`,
    author: last.state.workshop,
    language,
    createdAt: contexts.map(createdAt).reduce((a, b) => (Date.parse(a) >= Date.parse(b) ? a : b)),
    page: wording.say.record.page,
    sections: [visitsSection(serial, contexts, wording), ...contexts.map(recordSection)],
  };
}

/** When the record was closed or last amended: the last event's time. */
function createdAt({ events, opening }: RecordContext): string {
  return events.at(-1)?.event.at ?? opening.at;
}

/** What goes across every page: simulated above all, then that the job is not what it should be. */
function watermarkOf(context: RecordContext): string {
  const { watermark } = context.wording.say;
  if (isSimulated(context)) return watermark.simulated;
  if (context.state.phase === 'voided') return watermark.voided;
  return context.state.phase === 'released' ? '' : watermark.notReleased;
}

function recordSection(context: RecordContext): Section {
  const { wording, state, source } = context;
  const { record } = wording.say;
  return {
    title: `${wording.moment(state.openedAt)}  ${state.serial}  ${outcomeMark(context).word}`,
    headerLeft: `${record.title}  ${state.serial}`,
    headerRight: `${state.workshop}  ·  ${record.job} ${state.jobId}`,
    footerLeft:
      source.proof === null
        ? record.noRecord
        : record.shortRecord(shortHash(source.proof.hash), shortHash(source.proof.keyId)),
    footerRight: record.prevails,
    watermark: watermarkOf(context),
    blocks: recordBlocks(context),
  };
}

function recordBlocks(context: RecordContext): readonly Block[] {
  const { wording, state } = context;
  const { section, picture, record } = wording.say;
  return [
    {
      kind: 'masthead',
      title: record.title,
      label: record.serial,
      subject: state.serial,
      lines: [headText(context)],
      mark: outcomeMark(context),
    },
    ...noticeBlocks(context),
    openingFacts(context),
    { kind: 'paragraph', label: record.reportedFault, text: state.reportedFault ?? record.unknown },
    ...resultBlocks(context),
    { kind: 'heading', text: section.steps },
    { kind: 'legend', texts: picture },
    ...state.steps.flatMap((step, index) => stepBlocks(context, step, index + 1)),
    ...courseBlocks(context),
    ...consumableBlocks(context),
    ...instrumentBlocks(context),
    ...signatureBlocks(context),
    ...proofBlocks(context),
    ...meaningBlocks(context),
  ];
}

function headText({ source, wording, state }: RecordContext): string {
  const { sheet } = source;
  return sheet === null ? state.headId : `${wording.of(sheet.head.name)} (${state.headId})`;
}

function openingFacts(context: RecordContext): Block {
  const { wording, state, source } = context;
  const { record } = wording.say;
  const closing = context.events.findLast(({ event }) =>
    ['jobReleased', 'jobAbandoned', 'jobVoided'].includes(event.kind),
  );
  const closed = closing === undefined ? null : closing.event;
  const labels = { jobReleased: record.released, jobAbandoned: record.abandoned, jobVoided: record.voided };
  const closedLabel = labels[(closed?.kind ?? 'jobReleased') as keyof typeof labels];
  const revision = record.sheetRevision(state.sheetId, state.sheetRevision);
  return {
    kind: 'facts',
    columns: 2,
    facts: [
      { label: record.workshop, text: state.workshop },
      ...(source.place === undefined
        ? []
        : [{ label: record.bench, text: placeText(source.place, wording) }]),
      { label: record.job, text: state.jobId },
      { label: record.customerReference, text: state.customerReference ?? record.unknown },
      {
        label: record.nextService,
        text: state.nextServiceDue === null ? record.noNextService : wording.day(state.nextServiceDue),
      },
      {
        label: record.opened,
        text: record.by(wording.moment(state.openedAt), context.name(state.openedBy)),
      },
      {
        label: closedLabel,
        text: closed === null ? '–' : record.by(wording.moment(closed.at), context.name(closed.personId)),
      },
      {
        label: record.sheet,
        text: source.sheet === null ? revision : `${wording.of(source.sheet.title)} (${revision})`,
      },
    ],
  };
}

function placeText({ benchId, stationId, branch, leftBehind }: VisitPlaceView, wording: Wording): string {
  const { record } = wording.say;
  return leftBehind ? record.leftBehindAt(benchId, stationId, branch) : record.benchText(benchId, stationId);
}

function proofBlocks({ source, wording, events }: RecordContext): readonly Block[] {
  const { proof: say, section } = wording.say;
  const { proof } = source;
  const last = events.at(-1);
  const lastEvent =
    last === undefined ? [] : [{ label: say.lastEvent, text: say.lastEventText(last.sequence, last.hash) }];
  if (proof === null) {
    return [
      { kind: 'heading', text: section.proof },
      { kind: 'paragraph', text: say.none },
      { kind: 'facts', columns: 1, facts: lastEvent },
    ];
  }
  return [
    { kind: 'heading', text: section.proof },
    {
      kind: 'facts',
      columns: 1,
      facts: [
        {
          label: say.revision,
          text: say.revisionText(proof.revision, coveredNumber(events, proof.lastSequence)),
        },
        { label: say.hash, text: proof.hash },
        { label: say.key, text: proof.keyId },
        { label: say.signature, text: shortSignature(proof.signature) },
        ...lastEvent,
      ],
    },
    { kind: 'paragraph', text: say.how },
  ];
}

/** Number in the job of the last event up to a place in the chain. */
export function coveredNumber(events: RecordContext['events'], lastSequence: number): number {
  return events.findLast(({ sequence }) => sequence <= lastSequence)?.number ?? 0;
}

function shortSignature(signature: string): string {
  return signature.length <= 40 ? signature : `${signature.slice(0, 20)} … ${signature.slice(-16)}`;
}

function meaningBlocks({ source, wording }: RecordContext): readonly Block[] {
  const { meaning, section } = wording.say;
  return [
    { kind: 'heading', text: section.notes },
    { kind: 'paragraph', text: meaning.prevails },
    ...(source.sheet === null
      ? []
      : [{ kind: 'paragraph', text: wording.of(source.sheet.deferral) } satisfies Block]),
    { kind: 'paragraph', text: meaning.decisions },
    { kind: 'paragraph', text: meaning.letters },
  ];
}

function visitsSection(serial: string, contexts: readonly RecordContext[], wording: Wording): Section {
  const { record, section, column, watermark } = wording.say;
  const newest = contexts.at(-1) as RecordContext;
  return {
    title: record.visitsTitle,
    headerLeft: `${record.visitsTitle}  ${serial}`,
    headerRight: newest.state.workshop,
    footerLeft: '',
    footerRight: record.prevails,
    watermark: contexts.some(isSimulated) ? watermark.simulated : '',
    blocks: [
      {
        kind: 'masthead',
        title: record.visitsTitle,
        label: record.serial,
        subject: serial,
        lines: [headText(newest), section.newest(contexts.length)],
        mark: outcomeMark(newest),
      },
      { kind: 'heading', text: section.visits },
      {
        kind: 'table',
        columns: [
          { label: column.visit, share: 0.08, align: 'right' },
          { label: record.opened, share: 0.24 },
          { label: column.head, share: 0.2 },
          { label: column.outcome, share: 0.3 },
          { label: column.record, share: 0.18 },
        ],
        rows: contexts.map((context, index) => [
          String(index + 1),
          wording.moment(context.state.openedAt),
          headText(context),
          outcomeMark(context),
          context.source.proof === null ? record.none : shortHash(context.source.proof.hash),
        ]),
      },
    ],
  };
}
