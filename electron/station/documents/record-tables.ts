import { dayOf } from '../../../shared/identifier.ts';
import type { JobEvent, JobEventOf } from '../../../shared/job/event.ts';
import type { Block, Cell, Mark } from './block.ts';
import { limitsText, shortHash } from './capture-block.ts';
import type { NumberedEvent, RecordContext } from './record-context.ts';
import { decisionMark, stepMark } from './status-mark.ts';
import { consumableName, consumableTexts } from './step-blocks.ts';
import { decimalsOfJudgement } from './wording/number-text.ts';

/** A heading and a table, or nothing when there are no rows. */
function tableUnder(
  heading: string,
  columns: readonly (readonly [label: string, share: number, align?: 'right'])[],
  rows: readonly (readonly Cell[])[],
): readonly Block[] {
  if (rows.length === 0) return [];
  return [
    { kind: 'heading', text: heading },
    {
      kind: 'table',
      columns: columns.map(([label, share, align]) => ({ label, share, ...(align ? { align } : {}) })),
      rows,
    },
  ];
}

/** The final value of each measured step, for the first page. */
export function resultBlocks(context: RecordContext): readonly Block[] {
  const { wording, state } = context;
  const { column, section } = wording.say;
  const rows = state.steps.flatMap((step): readonly Cell[][] => {
    const capture = step.attempts.at(-1)?.capture;
    if (capture === undefined) return [];
    const { judgement } = capture;
    const decimals = decimalsOfJudgement(judgement);
    const text = (value: number) => wording.quantity(value, decimals, judgement.unit);
    const decision = decisionMark(judgement.decision, wording);
    const conceded = step.status === 'conceded' ? stepMark(step, wording) : null;
    return [
      [
        context.stepLabel(step.stepId),
        `${text(judgement.value)} ± ${text(judgement.uncertainty.expanded)}`,
        limitsText(judgement.tolerance, text, wording),
        conceded === null ? decision : { ...conceded, word: `${decision.word}, ${conceded.word}` },
        wording.percent(judgement.conformance),
        String(step.attempts.length),
      ],
    ];
  });
  return tableUnder(
    section.results,
    [
      [column.step, 0.22],
      [column.value, 0.19],
      [column.tolerance, 0.18],
      [column.decision, 0.18],
      [column.conformance, 0.12],
      [column.attempts, 0.11, 'right'],
    ],
    rows,
  );
}

function eventsOf<Kind extends JobEvent['kind']>(
  { events }: RecordContext,
  kind: Kind,
): readonly (NumberedEvent & { readonly event: JobEventOf<Kind> })[] {
  return events.filter(
    (numbered): numbered is NumberedEvent & { readonly event: JobEventOf<Kind> } =>
      numbered.event.kind === kind,
  );
}

/** Every lot that went into the head. */
export function consumableBlocks(context: RecordContext): readonly Block[] {
  const { wording } = context;
  const { column, section, record } = wording.say;
  const rows = eventsOf(context, 'consumableUsed').map(({ event }) => {
    const { lot, expiry, quantity } = consumableTexts(context, event);
    return [
      consumableName(context, event),
      lot,
      event.lotId === null ? '–' : expiry,
      quantity ?? '–',
      record.by(wording.moment(event.at), context.name(event.personId)),
    ];
  });
  return tableUnder(
    section.consumables,
    [
      [column.consumable, 0.3],
      [column.lot, 0.18],
      [column.expiry, 0.14],
      [column.quantity, 0.13],
      [column.usedBy, 0.25],
    ],
    rows,
  );
}

/** Every instrument with the calibration it had when it was used. */
export function instrumentBlocks(context: RecordContext): readonly Block[] {
  const { wording } = context;
  const { column, section, capture: say, instrument: words } = wording.say;
  const uses = Map.groupBy(eventsOf(context, 'measurementCaptured'), ({ event }) => {
    const { instrumentId, certificateNumber, calibrationDue, profileHash, concession } =
      event.capture.instrument;
    return [instrumentId, certificateNumber, calibrationDue, profileHash, concession].join('\n');
  });
  const rows = [...uses.values()].flatMap((group): readonly Cell[][] => {
    const newest = group.at(-1);
    if (newest === undefined) return [];
    const { instrument } = newest.event.capture;
    const steps = new Set(group.map(({ event }) => context.stepLabel(event.stepId)));
    const concession = instrument.concession === null ? [] : [words.concession(instrument.concession)];
    return [
      [
        [
          `${instrument.name} (${instrument.instrumentId})`,
          words.profile(`${instrument.profileName} ${shortHash(instrument.profileHash)}`),
          ...(instrument.simulated ? [say.simulated] : []),
          ...concession,
        ].join('\n'),
        instrument.certificateNumber ?? say.noCertificate,
        instrument.calibrationDue === null ? say.noDue : wording.day(instrument.calibrationDue),
        calibrationMark(instrument.calibrationDue, dayOf(newest.event.at), words),
        [...steps].join('\n'),
      ],
    ];
  });
  return tableUnder(
    section.instruments,
    [
      [column.instrument, 0.33],
      [column.certificate, 0.16],
      [column.due, 0.13],
      [column.state, 0.18],
      [column.used, 0.2],
    ],
    rows,
  );
}

/** A calibration is good to the end of the day it is due. */
function calibrationMark(
  due: string | null,
  day: string,
  words: { readonly valid: string; readonly overdue: string; readonly unknown: string },
): Mark {
  if (due === null) return { shape: 'triangle', tone: 'warning', word: words.unknown };
  return day <= due
    ? { shape: 'disc', tone: 'good', word: words.valid }
    : { shape: 'square', tone: 'bad', word: words.overdue };
}

/** Who answers for what, with the time. */
export function signatureBlocks(context: RecordContext): readonly Block[] {
  const { wording } = context;
  const { column, section } = wording.say;
  const rows = context.events.flatMap(({ event, number }) =>
    signaturesOf(context, event).map(([act, personId]) => [
      String(number),
      act,
      context.person(personId),
      wording.moment(event.at),
    ]),
  );
  return tableUnder(
    section.signatures,
    [
      [column.event, 0.06, 'right'],
      [column.act, 0.38],
      [column.person, 0.3],
      [column.time, 0.26],
    ],
    rows,
  );
}

function signaturesOf(context: RecordContext, event: JobEvent): readonly (readonly [string, string])[] {
  const { entry } = context.wording.say;
  switch (event.kind) {
    case 'jobOpened':
      return [[entry.opening, event.personId]];
    case 'stepSignedOff':
      return [[`${entry.signOff}: ${context.stepLabel(event.stepId)}`, event.personId]];
    case 'concessionGranted':
      return [[`${entry.concession}: ${context.stepLabel(event.stepId)}`, event.personId]];
    case 'jobReleased':
      return [[entry.release, event.personId]];
    case 'jobAbandoned':
      return [[entry.abandonment, event.personId]];
    case 'jobVoided':
      return [
        [entry.void, event.personId],
        [entry.voidSecond, event.secondPersonId],
      ];
    case 'amendmentMade':
      return [[`${entry.amended(event.of)}`, event.personId]];
    default:
      return [];
  }
}
