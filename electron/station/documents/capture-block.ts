import type { DecisionRule } from '../../../shared/acceptance/rule.ts';
import type { Capture } from '../../../shared/job/capture.ts';
import type { JobEventOf } from '../../../shared/job/event.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { formatDecimal, rationalOfNumber } from '../../../shared/quantity/decimal-text.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { bandPictureOf } from './band-picture.ts';
import type { CaptureBlock, Fact } from './block.ts';
import type { NumberedEvent, RecordContext } from './record-context.ts';
import { decisionMark } from './status-mark.ts';
import { decimalsOfJudgement, fixedText, plainText, unitName } from './wording/number-text.ts';
import type { Wording } from './wording/wording.ts';

/** Characters of a hash that stand where the whole would be in the way. */
export const shortHash = (hash: string): string => hash.slice(0, 12);

/** A captured measurement with everything it was judged on. */
export function captureBlock(
  context: RecordContext,
  numbered: NumberedEvent,
  event: JobEventOf<'measurementCaptured'>,
): CaptureBlock {
  const { wording, state } = context;
  const { capture } = event;
  const { judgement } = capture;
  const decimals = decimalsOfJudgement(judgement);
  const step = state.steps.find(({ stepId }) => stepId === event.stepId);
  const isFinal = step?.attempts.at(-1)?.event === numbered.number;
  const { say } = wording;
  return {
    kind: 'capture',
    ...context.head(numbered),
    attempt: `${say.capture.attempt(capture.attempt, step?.maximumAttempts ?? null)}, ${isFinal ? say.capture.final : say.capture.superseded}`,
    isFinal,
    mark: decisionMark(judgement.decision, wording),
    value: wording.quantity(judgement.value, decimals, judgement.unit),
    uncertainty: say.capture.uncertainty(
      wording.quantity(judgement.uncertainty.expanded, decimals, judgement.unit),
      wording.decimal(plainText(Number(judgement.uncertainty.k.toPrecision(3)))),
    ),
    conformance: say.capture.conformance(wording.percent(judgement.conformance)),
    picture: bandPictureOf(judgement, capture.band.target ?? null, (value) =>
      wording.decimal(fixedText(value, decimals)),
    ),
    facts: [
      ...readingFacts(capture, wording),
      ...judgementFacts(capture, decimals, wording, step?.acceptConditionalPass === true),
      ...instrumentFacts(capture, wording),
      {
        label: say.capture.evidence,
        text: say.capture.evidenceText(
          capture.evidence.lines.length,
          capture.instrument.profileName,
          shortHash(capture.evidence.profileHash),
          numbered.sequence,
          shortHash(numbered.hash),
        ),
      },
    ],
    amended: context.amended(numbered.number),
  };
}

function readingFacts(capture: Capture, wording: Wording): readonly Fact[] {
  const { say } = wording;
  const { indication, tare, measured, corrections, pulls } = capture;
  const shown = wording.shown(indication.text, unitName(indication.unit));
  const facts: Fact[] = [
    { label: say.capture.indication, text: `${shown}, ${say.capture.state[indication.state]}` },
  ];
  if (tare !== undefined) {
    facts.push({
      label: say.capture.tare,
      text: wording.shown(tare.indication.text, unitName(tare.indication.unit)),
    });
  }
  if (indication.unit !== measured.unit) {
    const converted = convertedText(indication.text, indication.unit, measured.unit);
    facts.push({ label: say.capture.unitOfSheet, text: wording.shown(converted, unitName(measured.unit)) });
  }
  facts.push({
    label: say.capture.corrections,
    text:
      corrections
        .map(({ name, value, unit, source }) => {
          // Four digits for reading; the record keeps them all.
          const amount = `${value > 0 ? '+' : ''}${plainText(Number(value.toPrecision(4)))}`;
          return `${name} ${wording.shown(amount, unitName(unit))} (${source})`;
        })
        .join('; ') || say.capture.noCorrections,
  });
  facts.push({
    label: say.capture.full,
    text: wording.shown(measured.text ?? plainText(measured.value), unitName(measured.unit)),
  });
  if (pulls !== undefined && pulls.length > 0) {
    const texts = pulls.map(({ peak, unit, angle, final }) => {
      const turned = angle === undefined ? '' : `, ${wording.decimal(plainText(angle))}°`;
      const text = `${wording.shown(plainText(peak), unitName(unit))}${turned}`;
      return final ? say.capture.finalPull(text) : text;
    });
    facts.push({ label: say.capture.pulls, text: texts.join('; ') });
  }
  return facts;
}

/** What the indication is in another unit, to four more decimals than shown; exact conversion, then rounded. */
function convertedText(text: string, from: Unit, to: Unit): string {
  const converted = convert(text, from, to);
  return converted.ok ? formatDecimal(converted.value, 4, 'half-even') : text;
}

function judgementFacts(
  capture: Capture,
  decimals: number,
  wording: Wording,
  acceptConditional: boolean,
): readonly Fact[] {
  const { say } = wording;
  const { judgement, band } = capture;
  const { unit, tolerance, acceptance, margin, decision, rule, uncertainty } = judgement;
  const quantity = (value: number) => wording.quantity(value, decimals, unit);
  const facts: Fact[] = [
    {
      label: say.capture.tolerance,
      text: joined(
        limitsText(tolerance, quantity, wording),
        band.target === undefined ? null : say.capture.target(quantity(band.target)),
      ),
    },
    {
      label: say.capture.acceptance,
      text: joined(
        acceptance === null ? say.capture.noAcceptance : limitsText(acceptance, quantity, wording),
        margin === null ? null : say.capture.margin(quantity(margin)),
      ),
    },
    {
      label: say.capture.rule,
      text: `${ruleText(rule, uncertainty.expanded, quantity, wording)}. ${say.capture.source}: ${rule.source}`,
    },
  ];
  if (decision === 'conditional pass' && acceptConditional) {
    facts.push({ label: say.column.decision, text: `${say.decision[decision]}, ${say.capture.accepted}` });
  }
  const shares = capture.budget.contributions
    .filter(({ share }) => share >= 0.005)
    .map(({ name, share }) => `${name} ${Math.round(share * 100)}\u00a0%`);
  if (shares.length > 0) facts.push({ label: say.capture.budget, text: shares.join(', ') });
  return facts;
}

function joined(...parts: readonly (string | null)[]): string {
  return parts.filter((part) => part !== null).join(', ');
}

/** `25.92 N·m to 28.08 N·m`, `from 25.92 N·m`, `up to 28.08 N·m`. */
export function limitsText(
  { lower, upper }: { readonly lower: number | null; readonly upper: number | null },
  text: (value: number) => string,
  { say }: Wording,
): string {
  if (lower !== null && upper !== null) return say.capture.between(text(lower), text(upper));
  if (lower !== null) return say.capture.from(text(lower));
  return upper === null ? say.record.none : say.capture.upTo(text(upper));
}

function ruleText(
  rule: DecisionRule,
  expanded: number,
  quantity: (value: number) => string,
  { say, decimal }: Wording,
): string {
  switch (rule.kind) {
    case 'simple':
      return say.capture.ruleSimple;
    case 'guarded':
      return say.capture.ruleGuarded(decimal(plainText(rule.factor)), quantity(rule.factor * expanded));
    case 'conformance': {
      // The shortest decimal of a hundredfold: 0.95 is 95, not 94.99999999999999.
      const hundredfold = rationalOfNumber(rule.probability);
      const text = formatDecimal({ ...hundredfold, numerator: hundredfold.numerator * 100n }, 7, 'half-even');
      return say.capture.ruleConformance(`${decimal(text.replace(/\.?0+$/, ''))}\u00a0%`);
    }
  }
}

function instrumentFacts({ instrument }: Capture, wording: Wording): readonly Fact[] {
  const { say } = wording;
  const { name, instrumentId, simulated, certificateNumber, calibrationDue, concession } = instrument;
  const due = calibrationDue === null ? say.capture.noDue : say.capture.due(wording.day(calibrationDue));
  return [
    {
      label: say.capture.instrument,
      text: joined(`${name} (${instrumentId})`, simulated ? say.capture.simulated : null),
    },
    { label: say.capture.certificate, text: joined(certificateNumber ?? say.capture.noCertificate, due) },
    ...(concession === null ? [] : [{ label: say.entry.instrumentConcession, text: concession }]),
  ];
}
