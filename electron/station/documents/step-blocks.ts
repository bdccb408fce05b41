import { dayOf } from '../../../shared/identifier.ts';
import type { JobEvent, JobEventOf } from '../../../shared/job/event.ts';
import type { StepState } from '../../../shared/job/state.ts';
import type { StepOf } from '../../../shared/sheet/step.ts';
import type { Block, Fact, Mark } from './block.ts';
import { captureBlock } from './capture-block.ts';
import type { NumberedEvent, RecordContext } from './record-context.ts';
import { stepMark } from './status-mark.ts';
import { plainText, unitName } from './wording/number-text.ts';

/** What happened at one step, in order: every attempt, the failed ones too. */
export function stepBlocks(context: RecordContext, step: StepState, number: number): readonly Block[] {
  const { wording } = context;
  return [
    {
      kind: 'step',
      number,
      title: context.stepTitle(step.stepId),
      word: wording.say.stepKind[step.kind],
      mark: stepMark(step, wording),
    },
    ...context.events.flatMap((numbered) => entryAtStep(context, numbered, step.stepId) ?? []),
  ];
}

/** True for an event that stands at a step and need not stand in the course of the job. */
export function standsAtStep(event: JobEvent): boolean {
  return 'stepId' in event && event.stepId !== null;
}

interface Entry {
  readonly text: string;
  readonly mark?: Mark;
  readonly facts?: readonly (Fact | null)[];
}

function entryAtStep(context: RecordContext, numbered: NumberedEvent, stepId: string): Block | null {
  const { event } = numbered;
  if (event.kind === 'stepReopened' && event.alsoReopened.includes(stepId)) {
    const text = context.wording.say.entry.reopenedWith(context.stepLabel(event.stepId));
    return entryBlock(context, numbered, { text });
  }
  if (!('stepId' in event) || event.stepId !== stepId) return null;
  if (event.kind === 'measurementCaptured') return captureBlock(context, numbered, event);
  return entryBlock(context, numbered, entryOf(context, event));
}

/** An entry with time, person and number. */
export function entryBlock(context: RecordContext, numbered: NumberedEvent, entry: Entry): Block {
  return {
    kind: 'entry',
    ...context.head(numbered),
    text: entry.text,
    mark: entry.mark ?? null,
    facts: (entry.facts ?? []).filter((fact) => fact !== null),
    amended: context.amended(numbered.number),
  };
}

const good = (word: string): Mark => ({ shape: 'disc', tone: 'good', word });
const bad = (word: string): Mark => ({ shape: 'square', tone: 'bad', word });
const warning = (word: string): Mark => ({ shape: 'triangle', tone: 'warning', word });

type EventAtStep = Exclude<Extract<JobEvent, { stepId: unknown }>, { kind: 'measurementCaptured' }>;

function entryOf(context: RecordContext, event: EventAtStep): Entry {
  const { wording } = context;
  const { entry } = wording.say;
  const optional = (label: string, text: string | undefined): Fact | null =>
    text === undefined ? null : { label, text };
  switch (event.kind) {
    case 'cautionAcknowledged':
      return cautionEntry(context, event);
    case 'instructionConfirmed':
      return { text: entry.instruction };
    case 'checkAnswered':
      return { ...checkEntry(context, event), facts: [optional(entry.remark, event.remark)] };
    case 'partDisposed': {
      const step = stepOf(context, event.stepId, 'disposition');
      const part = step === undefined ? '' : `${wording.of(step.part)}: `;
      return {
        text: `${part}${wording.say.choice[event.choice]}`,
        facts: [optional(entry.reason, event.reason), optional(entry.replacement, event.replacement)],
      };
    }
    case 'consumableUsed':
      return consumableEntry(context, event);
    case 'tareTaken':
      return { text: entry.tare(wording.shown(event.indication.text, unitName(event.indication.unit))) };
    case 'numericRecorded':
      return numericEntry(context, event);
    case 'noteWritten': {
      const step = event.stepId === null ? undefined : stepOf(context, event.stepId, 'note');
      return {
        text: step === undefined ? entry.note : wording.of(step.prompt),
        facts: [{ label: entry.note, text: event.text }],
      };
    }
    case 'stepSignedOff': {
      const step = stepOf(context, event.stepId, 'signOff');
      return {
        text: `${entry.signedOff}: ${context.person(event.personId)}`,
        facts: [optional(entry.signOff, step && wording.of(step.statement))],
      };
    }
    case 'stepReopened':
      return {
        text: entry.reopened,
        facts: [
          { label: entry.reason, text: event.reason },
          event.alsoReopened.length === 0
            ? null
            : { label: entry.alsoReopened, text: event.alsoReopened.map(context.stepLabel).join('; ') },
          event.attemptsRenewed ? { label: wording.say.column.attempts, text: entry.renewed } : null,
        ],
      };
    case 'concessionGranted':
      return {
        text: `${entry.conceded}: ${context.person(event.personId)}`,
        mark: { shape: 'diamond', tone: 'warning', word: wording.say.stepStatus.conceded },
        facts: [
          { label: entry.reason, text: event.reason },
          { label: entry.limit, text: event.limit },
        ],
      };
  }
}

function stepOf<Kind extends StepOf<'note'>['kind'] | 'disposition' | 'consumable' | 'numeric' | 'signOff'>(
  context: RecordContext,
  stepId: string,
  kind: Kind,
): StepOf<Kind> | undefined {
  const step = context.step(stepId);
  return step?.kind === kind ? (step as StepOf<Kind>) : undefined;
}

function cautionEntry(context: RecordContext, event: JobEventOf<'cautionAcknowledged'>): Entry {
  const { wording } = context;
  const { entry, hazard } = wording.say;
  const hazards = event.hazards.map((one) => hazard[one]).join(', ');
  const step = context.step(event.stepId);
  const facts = (step?.cautions ?? [])
    .filter((caution) => event.hazards.includes(caution.hazard))
    .map((caution) => ({ label: hazard[caution.hazard], text: wording.of(caution.text) }));
  return { text: hazards === '' ? entry.cautionWithout : entry.caution(hazards), facts };
}

function checkEntry(context: RecordContext, event: JobEventOf<'checkAnswered'>): Entry {
  const { wording, state } = context;
  const { entry } = wording.say;
  const step = context.step(event.stepId);
  const isNoted = state.steps.find(({ stepId }) => stepId === event.stepId)?.failureIsNoted === true;
  const mark = event.answer === 'yes' ? good(entry.yes) : isNoted ? warning(entry.noNoted) : bad(entry.no);
  return {
    text: step?.kind === 'check' ? wording.of(step.question) : context.stepTitle(event.stepId),
    mark,
  };
}

function consumableEntry(context: RecordContext, event: JobEventOf<'consumableUsed'>): Entry {
  const { wording } = context;
  const { entry } = wording.say;
  const { lot, expiry, quantity } = consumableTexts(context, event);
  const isExpired = event.lotExpiry !== null && event.lotExpiry < dayOf(event.at);
  return {
    text: consumableName(context, event),
    ...(isExpired ? { mark: bad(entry.expired) } : {}),
    facts: [
      { label: entry.lot, text: lot },
      event.lotId === null ? null : { label: entry.expiry, text: expiry },
      quantity === null ? null : { label: wording.say.entry.quantity, text: quantity },
    ],
  };
}

/** Name by the sheet, with the id of the consumable. */
export function consumableName(context: RecordContext, event: JobEventOf<'consumableUsed'>): string {
  const step = stepOf(context, event.stepId, 'consumable');
  return step === undefined ? event.consumableId : `${context.wording.of(step.name)} (${event.consumableId})`;
}

/** Lot, expiry and quantity as printed. */
export function consumableTexts(
  { wording, source }: RecordContext,
  event: JobEventOf<'consumableUsed'>,
): { readonly lot: string; readonly expiry: string; readonly quantity: string | null } {
  const { entry } = wording.say;
  const unit = event.lotId === null ? undefined : source.lotUnits.get(event.lotId);
  const unitText = unit === 'g' ? 'g' : unit === 'count' ? entry.pieces : entry.lotUnit;
  return {
    lot: event.lotId ?? entry.noLot,
    expiry: event.lotExpiry === null ? entry.noExpiry : wording.day(event.lotExpiry),
    quantity: event.quantity === null ? null : wording.shown(plainText(event.quantity), unitText),
  };
}

function numericEntry(context: RecordContext, event: JobEventOf<'numericRecorded'>): Entry {
  const { wording } = context;
  const { entry, capture } = wording.say;
  const step = stepOf(context, event.stepId, 'numeric');
  const label = step === undefined ? '' : `${wording.of(step.label)}: `;
  const text = (value: number) => wording.shown(plainText(value), event.unit);
  const { lower, upper } = step ?? {};
  const limits =
    lower !== undefined && upper !== undefined
      ? capture.between(text(lower), text(upper))
      : lower !== undefined
        ? capture.from(text(lower))
        : upper !== undefined
          ? capture.upTo(text(upper))
          : null;
  return {
    text: `${label}${wording.shown(event.text, event.unit)}`,
    mark: event.within ? good(entry.within) : bad(entry.outside),
    facts: [limits === null ? null : { label: entry.limits, text: limits }],
  };
}
