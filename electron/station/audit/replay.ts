import { expandedUncertaintyOf } from '../../../shared/acceptance/budget.ts';
import { judge } from '../../../shared/acceptance/judgement.ts';
import { type Finding, finding } from '../../../shared/audit/finding.ts';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { FindDocument } from '../../../shared/evidence/evidence-rules.ts';
import type { Indication } from '../../../shared/indication.ts';
import type { Capture, Evidence } from '../../../shared/job/capture.ts';
import { jobEventOf } from '../../../shared/job/event.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { add, type Rational, subtract, toNumber, zero } from '../../../shared/quantity/rational.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import type { Replay, ReplayFinding } from './verification.ts';

/** A piece of raw bytes with its arrival in milliseconds since the first. */
export interface TimedBytes {
  readonly atMilliseconds: number;
  readonly bytes: Uint8Array;
}

/**
 * Reads raw bytes, which begin at the start of a line, by a stored profile; undefined when the profile is none. Where
 * the instrument has no flag, the state comes from the steadiness rule and the times.
 */
export type DecodeBytes = (
  profile: JsonObject,
  lines: readonly TimedBytes[],
) => readonly Indication[] | undefined;

/**
 * Replays what a job event keeps: raw bytes through the stored profile must give the same indication; indication,
 * tare and corrections the same measured value; value, band, budget and rule the same judgement.
 */
export function createReplay(decode: DecodeBytes): Replay {
  return (event, findDocument) => {
    if (event.kind === 'tareTaken' && event.stream.startsWith('job/')) {
      const tare = jobEventOf(event.body);
      if (tare.kind !== 'tareTaken') return [];
      return replayBytes(decode, findDocument, tare.indication, tare.evidence, 'tare');
    }
    if (event.kind !== 'measurementCaptured' || !event.stream.startsWith('job/')) return [];
    const captured = jobEventOf(event.body);
    if (captured.kind !== 'measurementCaptured') return [];
    const { capture } = captured;
    const { indication, evidence, tare } = capture;
    return [
      ...replayBytes(decode, findDocument, indication, evidence, 'reading'),
      ...(tare === undefined
        ? []
        : replayBytes(decode, findDocument, tare.indication, tare.evidence, 'tare')),
      ...replayValue(capture),
      ...replayJudgement(capture),
    ];
  };
}

function replayBytes(
  decode: DecodeBytes,
  findDocument: FindDocument,
  indication: Indication,
  evidence: Evidence,
  what: 'reading' | 'tare',
): readonly ReplayFinding[] {
  const found = (one: Finding) => [{ kind: 'replay' as const, finding: one }];
  const profile = findDocument(evidence.profileHash);
  // A document that is missing is reported where it is named.
  if (profile === undefined) return [];
  const lines = evidence.lines.map(({ atMilliseconds, base64 }) => {
    return { atMilliseconds, bytes: fromBase64(base64) ?? new Uint8Array() };
  });
  const decoded = decode(profile.body, lines);
  if (decoded === undefined) return found(finding(`${what}WithoutProfile`, {}));
  const same = decoded.some(({ text, unit, state }) => {
    return text === indication.text && unit === indication.unit && state === indication.state;
  });
  if (same) return [];
  const read = decoded.map(({ text, unit }) => `${text} ${unit}`).slice(-3);
  const recorded = `${indication.text} ${indication.unit}`;
  return found(
    read.length === 0
      ? finding(`${what}Empty`, { recorded })
      : finding(`${what}Differs`, { again: read.join(', '), recorded }),
  );
}

function replayValue({ indication, tare, corrections, measured }: Capture): readonly ReplayFinding[] {
  const { unit } = measured;
  const gross = exactIn(unit, indication.text, indication.unit);
  const tared = tare === undefined ? zero : exactIn(unit, tare.indication.text, tare.indication.unit);
  const sum = corrections.reduce<Rational | undefined>(
    (value, correction) => {
      const amount = exactIn(unit, correction.value, correction.unit);
      return value === undefined || amount === undefined ? undefined : add(value, amount);
    },
    gross && tared && subtract(gross, tared),
  );
  if (sum !== undefined && toNumber(sum) === measured.value) return [];
  const recorded = `${measured.value} ${unit}`;
  return judged(
    sum === undefined
      ? finding('valueEmpty', { recorded })
      : finding('valueDiffers', { again: `${toNumber(sum)} ${unit}`, recorded }),
  );
}

function judged(one: Finding): readonly ReplayFinding[] {
  return [{ kind: 'judgement', finding: one }];
}

function exactIn(unit: Unit, value: string | number, from: Unit): Rational | undefined {
  const converted = convert(value, from, unit);
  return converted.ok ? converted.value : undefined;
}

function replayJudgement({
  quantity,
  measured,
  band,
  budget,
  rule,
  judgement,
}: Capture): readonly ReplayFinding[] {
  const again = judge({
    quantity,
    reading: { value: measured.value, unit: measured.unit },
    band,
    uncertainty: expandedUncertaintyOf(budget),
    rule,
  });
  if (!again.ok) return judged(finding('judgementFails', { message: again.error.message }));
  const { conformance: now, ...same } = again.value;
  const { conformance: then, ...was } = judgement;
  if (same.decision !== was.decision) {
    return judged(finding('decisionDiffers', { again: same.decision, recorded: was.decision }));
  }
  // Probabilities come out of a series whose last digits may differ between machines.
  const differs = canonicalJson(same) !== canonicalJson(was) || Math.abs(now - then) > 1e-9;
  return differs ? judged(finding('limitsDiffer', {})) : [];
}
