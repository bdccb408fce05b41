import type { LiveReading } from '../../../shared/contract.ts';
import type { Instrument } from '../../../shared/instrument/instrument.ts';
import { forecastDispensing } from '../../../shared/mass/dispensing.ts';
import { type Measurement, measure } from '../../../shared/measurement/measure.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import type { BenchInstrument, BenchReading } from './bench-instrument.ts';
import { finalPull } from './capture-builder.ts';
import { type MeasuredStepInHand, measuringInstrument } from './measured-step.ts';

/** The measured step that a reading is judged for. */
export interface LiveStep extends MeasuredStepInHand {
  /** Time of the reading, ISO 8601. */
  readonly at: string;
  readonly attemptSinceMilliseconds: number;
}

/** A reading as a screen shows it. Without a step it is not judged. */
export function liveReading(
  reading: BenchReading,
  running: BenchInstrument,
  instrument: Instrument,
  live: LiveStep | null,
): LiveReading {
  const { indication, arrivedAtMilliseconds, settled } = reading.live;
  const common = {
    instrumentId: reading.instrumentId,
    atMilliseconds: arrivedAtMilliseconds,
    indication: { text: indication.text, unit: indication.unit, state: indication.state },
  };
  if (live === null) {
    return { ...common, measured: null, settled, judgement: null, pull: null, dispensing: null };
  }
  return live.step.kind === 'mass'
    ? { ...common, ...liveMass(reading, running, instrument, live) }
    : { ...common, ...liveTorque(reading, running, instrument, live) };
}

type Judged = Pick<LiveReading, 'measured' | 'settled' | 'judgement' | 'pull' | 'dispensing'>;

function liveMass(
  reading: BenchReading,
  running: BenchInstrument,
  instrument: Instrument,
  live: LiveStep,
): Judged {
  const { step, progress, at } = live;
  const tare = progress.tare?.indication ?? null;
  const result = measure(step, measuringInstrument(instrument, at), reading.live.indication, tare, at);
  // A dish that is not tared yet must not turn green.
  const isTared = step.kind === 'mass' && (step.tare !== 'station' || tare !== null);
  return {
    measured: result.ok && isTared ? onScreen(result.value) : null,
    settled: reading.live.settled,
    judgement: result.ok && isTared ? judgementOf(result.value.judgement) : null,
    pull: null,
    dispensing:
      result.ok && isTared ? dispensingHelp(reading, running, live, result.value.measured.value) : null,
  };
}

function liveTorque(
  reading: BenchReading,
  running: BenchInstrument,
  instrument: Instrument,
  live: LiveStep,
): Judged {
  const { step, at, attemptSinceMilliseconds } = live;
  const pulls = running.pullsSince(attemptSinceMilliseconds);
  const final = step.kind === 'torque' ? finalPull(pulls, step) : null;
  const shown = reading.pulling ?? final?.peak ?? null;
  const isComplete = reading.pulling === null && final !== null;
  const result =
    shown === null ? null : measure(step, measuringInstrument(instrument, at), shown.indication, null, at);
  return {
    measured: result?.ok === true ? onScreen(result.value) : null,
    settled: isComplete,
    judgement: result?.ok === true && isComplete ? judgementOf(result.value.judgement) : null,
    pull: {
      phase: reading.pulling !== null ? 'pulling' : final === null ? 'none' : 'complete',
      peakText: shown?.indication.text ?? '0',
      peakUnit: shown?.indication.unit ?? reading.live.indication.unit,
      number: pulls.length + (reading.pulling === null ? 0 : 1),
    },
    dispensing: null,
  };
}

/** Delay of the display and the hand together (common practice, no source). */
const lagSeconds = 0.6;

/** Rate of the fill and time to the target, in the net of what is in the dish now. */
function dispensingHelp(
  reading: BenchReading,
  running: BenchInstrument,
  live: LiveStep,
  netValue: number,
): LiveReading['dispensing'] {
  const { band } = live.step;
  if (band.target === undefined) return null;
  const { indication, arrivedAtMilliseconds } = reading.live;
  const readings = running.trace
    .since(Math.max(live.attemptSinceMilliseconds, arrivedAtMilliseconds - 1500))
    .map(({ atMilliseconds, value }) => ({
      atMilliseconds,
      grams: convertNumber(value, indication.unit, 'g'),
    }));
  // The forecast counts on the indication; the target moves by what lies between indication and net.
  const offset =
    convertNumber(indication.value, indication.unit, 'g') - convertNumber(netValue, band.unit, 'g');
  const forecast = forecastDispensing(
    readings,
    convertNumber(band.target, band.unit, 'g') + offset,
    lagSeconds,
  );
  return { gramsPerSecond: forecast.gramsPerSecond, secondsToTarget: forecast.secondsToTarget };
}

/** With the decimals of the instrument's own step: more would only flicker. */
function onScreen({ measured, shownText }: Measurement): LiveReading['measured'] {
  return { ...measured, text: shownText };
}

function judgementOf({
  decision,
  conformance,
  margin,
}: NonNullable<LiveReading['judgement']>): LiveReading['judgement'] {
  return { decision, conformance, margin };
}
