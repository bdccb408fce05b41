import { type Result, refuse } from '../../shared/result.ts';
import { canonicalNumber } from '../decode/number-text.ts';
import { createDecoder } from '../decode.ts';
import { type InstrumentProfile, readProfile } from '../profile.ts';
import type { Lesson } from './lesson.ts';
import { patternOf } from './pattern-text.ts';

/** What a person gives besides the display. */
export interface ProfileAbout {
  readonly name: string;
  readonly title: { readonly en: string; readonly de: string };
  readonly serial?: InstrumentProfile['serial'];
  /** What a line of a torque instrument is: the torque of the moment, or the peak of a finished pull. */
  readonly torque?: 'track' | 'peak';
  /** Least and greatest indication that can be true, in the unit of the display. */
  readonly range?: readonly [number, number];
  /** Division of a scale without a flag, as decimal text in the unit of the display. */
  readonly division?: string;
}

/**
 * Makes a profile of what was learned, with the recording as its example, and proves it on the recording.
 * Refusals: `unconfirmed`, `not_proved`, and those of the profile's own check.
 */
export function buildProfile(lesson: Lesson, about: ProfileAbout): Result<InstrumentProfile> {
  if (lesson.confirmations.length === 0) {
    return refuse(
      'unconfirmed',
      'display',
      'nothing is confirmed yet; type what the display shows at least once',
    );
  }
  const draft = readProfile(draftProfile(lesson, about));
  if (!draft.ok) return draft;
  const recorded = fromFirstLine(lesson);
  const decoder = createDecoder(draft.value, { synchronised: true });
  const outcomes = [...decoder.push(recorded), ...decoder.end()];
  const isProved = lesson.confirmations.every(({ display }) =>
    outcomes.some(
      (outcome) =>
        outcome.kind === 'indication' &&
        Number(outcome.indication.text) === Number(canonicalNumber(display.text, false, undefined)) &&
        outcome.indication.unit === display.unit,
    ),
  );
  if (!isProved) {
    return refuse(
      'not_proved',
      'display',
      'the profile does not read its own recording as confirmed; record and confirm again',
    );
  }
  const expected = outcomes.map((outcome) => {
    if (outcome.kind === 'rejection') return { refused: outcome.rejection.refused };
    const { offset: _offset, value: _value, ...rest } = outcome.indication;
    return rest;
  });
  return readProfile({ ...draft.value, examples: [{ hex: recorded.toString('hex'), expected }] });
}

/** The recording from its first whole line on. */
function fromFirstLine({ bytes, frame }: Lesson): Buffer {
  const recorded = Buffer.from(bytes);
  if (frame.start !== undefined) return recorded;
  const end = Buffer.from(frame.ends[0] ?? '0a', 'hex').at(-1) ?? 0x0a;
  const at = recorded.findIndex((byte) => (byte & 0x7f) === end);
  return recorded.subarray(at + 1);
}

function draftProfile(lesson: Lesson, about: ProfileAbout): unknown {
  const { roles, confirmations, frame, decimal, readings } = lesson;
  const [first] = confirmations;
  const unit = first?.display.unit ?? 'g';
  const isTorque = about.torque !== undefined;
  const flag = isTorque ? -1 : chooseFlag(lesson);
  const words = (state: 'stable' | 'unstable') => [
    ...new Set(
      confirmations.filter(({ display }) => display.state === state).map(({ row }) => row[flag]?.text ?? ''),
    ),
  ];
  const units = Object.fromEntries(
    confirmations.map(({ display, row }) => [row[roles.unit]?.text ?? '', display.unit]),
  );
  const hasState = flag !== -1;
  return {
    name: about.name,
    revision: 1,
    title: about.title,
    note: `Taught from a recording and confirmed against the display.${isTorque ? ' Indices and times of the lines are not used: a line sent twice counts twice.' : ''}`,
    kind: isTorque ? 'torque' : 'mass',
    mode: about.torque === 'peak' ? 'one line per pull' : 'continuous',
    ...(about.serial === undefined ? {} : { serial: about.serial }),
    frame,
    ...(lesson.highBit.isParity ? { clear_high_bit: true } : {}),
    decimal,
    pattern: patternOf(readings, { ...roles, flag }, decimal),
    ...(isTorque ? { state: about.torque } : {}),
    ...(hasState
      ? { stability: { group: 'flag', stable: words('stable'), unstable: words('unstable') } }
      : {}),
    ...(roles.unit === -1 ? { unit_fixed: unit } : { units }),
    ...(about.range === undefined ? {} : { range: { [unit]: about.range } }),
    ...(!isTorque && !hasState
      ? {
          steadiness: {
            readings: 5,
            window_ms: 1000,
            spread_divisions: 1,
            ...(about.division === undefined ? {} : { division: { [unit]: about.division } }),
          },
        }
      : {}),
  };
}

/** The column that tells the state: one that was seen to change with it, else one that changes at all. */
function chooseFlag({ roles, readings, confirmations }: Lesson): number {
  const told = confirmations.filter(({ display }) => display.state !== null);
  if (told.length === 0) return -1;
  const distinct = (at: number) => new Set(told.map(({ row }) => row[at]?.text ?? '')).size;
  const changing = roles.flags.filter((at) => (readings.columns[at]?.values.length ?? 0) > 1);
  return changing.reduce((best, at) => (best === -1 || distinct(at) > distinct(best) ? at : best), -1);
}
