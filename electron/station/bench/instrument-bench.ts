import { z } from 'zod';
import type { InstrumentHealth } from '../../../drivers/instrument-health.ts';
import type { Clock } from '../../../drivers/port/clock.ts';
import type { ListedPort } from '../../../drivers/port/port-list.ts';
import type { Fault } from '../../../drivers/simulated/fault-script.ts';
import type { InstrumentView, LiveReading, MeasurementView, PortState } from '../../../shared/contract.ts';
import type { RejectionReason } from '../../../shared/indication.ts';
import {
  certificateInForce,
  type InstrumentFitness,
  instrumentFitness,
} from '../../../shared/instrument/fitness.ts';
import {
  foldInstrument,
  type Instrument,
  type InstrumentEvent,
  type InstrumentKind,
  instrumentEventSchema,
  type RegisterEntry,
} from '../../../shared/instrument/instrument.ts';
import type { Capture, Tare } from '../../../shared/job/capture.ts';
import type { JobState } from '../../../shared/job/state.ts';
import type { Quantity } from '../../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { LocalizedText } from '../../../shared/sheet/localized-text.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { PortView, ProfileView } from '../../../shared/teach-view.ts';
import type { Captured, Measuring } from '../job-desk.ts';
import { readKept, writeKept } from '../kept-file.ts';
import type { StationLog } from '../log.ts';
import { Registry } from '../registry.ts';
import type { Store } from '../store/store.ts';
import type { BenchInstrument, BenchReading } from './bench-instrument.ts';
import { type CaptureSource, captureMass, captureTorque, takeTare } from './capture-builder.ts';
import { liveReading } from './live-reading.ts';
import { measuredStep, viewMeasurement } from './measured-step.ts';
import { PeakMemory } from './peak-memory.ts';
import { portView, practicePortView } from './port-view.ts';
import { type PracticeDevice, practicePortId } from './practice-device.ts';
import { RunningInstruments } from './running-instruments.ts';
import { actOnSimulator, type SimulatedAction } from './simulated-hand.ts';

const settingsSchema = z.strictObject({ scale: z.string().nullable(), wrench: z.string().nullable() });

export interface InstrumentBenchParts {
  readonly store: Store;
  readonly clock: Clock;
  readonly log: StationLog;
  /** Seed of the simulated instruments. */
  readonly seed: number;
  /** What goes wrong with simulated instruments, by their ids. */
  readonly faults?: Readonly<Record<string, readonly Fault[]>>;
  /** Remembers which scale and wrench are in use. */
  readonly settingsFile: string;
  /** Remembers peaks that wrenches gave. */
  readonly peaksFile: string;
  /** Of a demo workshop; left out: none. */
  readonly practice?: PracticeDevice | null;
}

interface InHand {
  readonly state: JobState;
  readonly sheet: ServiceSheet;
}

/** The instruments of the bench: what they say, whether they may be used, and the captures they give. */
export class InstrumentBench implements Measuring {
  readonly registry: Registry<Instrument, InstrumentEvent>;
  readonly #parts: InstrumentBenchParts;
  readonly #running: RunningInstruments;
  readonly #changeListeners = new Set<() => void>();
  readonly #readingListeners = new Set<(reading: BenchReading) => void>();
  #assigned: { scale: string | null; wrench: string | null };
  /** When the attempt in hand at a step began; pulls from before it do not count. */
  readonly #attemptSince = new Map<string, number>();

  constructor(parts: InstrumentBenchParts) {
    this.#parts = parts;
    this.registry = new Registry(parts.store, {
      prefix: 'instrument/',
      schema: instrumentEventSchema,
      fold: foldInstrument,
    });
    this.#assigned = this.#readAssigned();
    this.#running = new RunningInstruments({
      ...parts,
      practice: parts.practice ?? null,
      peaks: new PeakMemory(parts.peaksFile),
      entry: (instrumentId) => this.registry.get(instrumentId),
      onHealth: () => this.#changed(),
      onReading: (reading) => {
        for (const listener of this.#readingListeners) listener(reading);
      },
    });
    for (const instrument of this.registry.all()) {
      if (instrument.retired === null) this.#running.start(instrument);
    }
  }

  /** Brings the bench in line with the register after a change there, without disturbing other instruments. */
  async refresh(instrumentId: string): Promise<void> {
    await this.#running.refresh(instrumentId);
    const instrument = this.registry.get(instrumentId);
    if (instrument?.retired === null) {
      const quantity = instrument.kind === 'scale' ? 'mass' : 'torque';
      if (this.#instrumentFor(quantity) === undefined) this.assign(instrumentId);
    }
    this.#changed();
  }

  /** What a profile measures and whether a simulator speaks it; undefined for a name that is not known. */
  describeProfile(name: string): { quantity: Quantity; canBeSimulated: boolean } | undefined {
    return this.#running.describeProfile(name);
  }

  /** The rule of ours by which values of a profile are stable, in words; null where it has its own flag. */
  steadinessOf(profileName: string): LocalizedText | null {
    return this.#running.steadinessOf(profileName);
  }

  /** The ports of this computer with the instrument that holds each. */
  portViews(listed: readonly ListedPort[]): PortView[] {
    const holders = this.registry.all().flatMap((instrument) => {
      const path = this.#running.get(instrument.instrumentId)?.live.port.path;
      return path === undefined ? [] : [{ path, name: instrument.name }];
    });
    const ports = listed.map((port) => portView(port, holders));
    const { practice } = this.#parts;
    if (practice === null || practice === undefined) return ports;
    const holder = holders.find(({ path }) => path === practice.path);
    return [practicePortView(holder?.name ?? null), ...ports];
  }

  /** Every profile that a new instrument may be registered with. */
  profileViews(): ProfileView[] {
    return this.#running.profileViews();
  }

  /** What the profile of an entry measures; the practice device speaks whatever it was taught as. */
  profileForEntry({ profileName, portIdentity }: RegisterEntry) {
    const described = this.#running.describeProfile(profileName);
    const isPractice = this.#parts.practice != null && portIdentity.path === practicePortId;
    return described && { ...described, canBeSimulated: described.canBeSimulated || isPractice };
  }

  get assigned(): { readonly scale: string | null; readonly wrench: string | null } {
    return this.#assigned;
  }

  /** The running instrument of that name. */
  running(instrumentId: string): BenchInstrument | undefined {
    return this.#running.get(instrumentId);
  }

  /** The reading of each instrument that is current now, for a screen that was not here when it came. */
  newestReadings(): readonly BenchReading[] {
    return this.registry.all().flatMap(({ instrumentId }) => {
      const newest = this.#running.get(instrumentId)?.newest() ?? null;
      return newest === null ? [] : [newest];
    });
  }

  onChange(listener: () => void): void {
    this.#changeListeners.add(listener);
  }

  onReading(listener: (reading: BenchReading) => void): void {
    this.#readingListeners.add(listener);
  }

  /** Chooses the scale or wrench that this bench uses from now on. */
  assign(instrumentId: string): Result<null> {
    const instrument = this.registry.get(instrumentId);
    if (instrument === undefined) return noSuchInstrument(instrumentId);
    if (instrument.retired !== null) {
      return refuse(
        'instrument_retired',
        'instrumentId',
        `${instrument.name} is retired; choose another instrument.`,
      );
    }
    this.#assigned = { ...this.#assigned, [instrument.kind]: instrumentId };
    writeKept(this.#parts.settingsFile, this.#assigned);
    this.#changed();
    return ok(null);
  }

  /** Tare or zero at the instrument itself. */
  adjust(instrumentId: string, action: 'tare' | 'zero'): Result<null> {
    const running = this.#running.get(instrumentId);
    if (running === undefined) return noSuchInstrument(instrumentId);
    const sent = running.live.ask(action);
    return sent.ok ? ok(null) : sent;
  }

  /** Moves a simulated instrument. */
  simulate(
    instrumentId: string,
    action: SimulatedAction,
    target?: { readonly value: number; readonly unit: string },
  ): Result<null> {
    const { practice } = this.#parts;
    if (instrumentId === practicePortId && practice) {
      return actOnSimulator({ kind: 'scale', scale: practice.scale }, action, target);
    }
    const running = this.#running.get(instrumentId);
    if (running === undefined) return noSuchInstrument(instrumentId);
    if (running.simulator === null) {
      return refuse('not_simulated', 'instrumentId', 'This is a real instrument; only hands move it.');
    }
    return actOnSimulator(running.simulator, action, target);
  }

  views(): readonly InstrumentView[] {
    const at = this.#parts.clock.wallTime();
    return this.registry.all().map((instrument) => this.#view(instrument, at));
  }

  /** The measurement of the step that a job stands at, or null where it measures nothing. */
  measurementView(state: JobState, sheet: ServiceSheet): MeasurementView | null {
    const inHand = measuredStep(state, sheet, state.currentStepId);
    if (inHand === null) return null;
    this.#attemptBegan(state, inHand.step.stepId);
    const instrument = this.#instrumentFor(inHand.step.kind);
    const at = this.#parts.clock.wallTime();
    return viewMeasurement(inHand, instrument, instrument && instrumentFitness(instrument, at), at);
  }

  /** A reading as a screen shows it, judged if the job in hand measures with this instrument now. */
  liveFor(reading: BenchReading, inHand: InHand | undefined): LiveReading {
    const measured = inHand && measuredStep(inHand.state, inHand.sheet, inHand.state.currentStepId);
    const instrument = this.registry.get(reading.instrumentId);
    const running = this.#running.get(reading.instrumentId);
    if (running === undefined || instrument === undefined)
      throw new Error(`${reading.instrumentId} does not run`);
    const isUsed = measured && this.#instrumentFor(measured.step.kind)?.instrumentId === reading.instrumentId;
    if (inHand === undefined || !measured || !isUsed) return liveReading(reading, running, instrument, null);
    const since = this.#attemptBegan(inHand.state, measured.step.stepId);
    return liveReading(reading, running, instrument, {
      ...measured,
      at: reading.live.arrivedAt,
      attemptSinceMilliseconds: since,
    });
  }

  capture(state: JobState, sheet: ServiceSheet, stepId: string): Result<Captured<Capture>> {
    const measured = measuredStep(state, sheet, stepId);
    if (measured === null)
      return refuse('not_measured', 'stepId', 'This step measures nothing; look at the job again.');
    const source = this.#source(state, measured.step.kind, stepId);
    if (!source.ok) return source;
    const { step, progress } = measured;
    return step.kind === 'mass'
      ? captureMass(source.value, { step, progress })
      : captureTorque(source.value, { step, progress });
  }

  tare(state: JobState, sheet: ServiceSheet, stepId: string): Result<Captured<Tare>> {
    const measured = measuredStep(state, sheet, stepId);
    if (measured?.step.kind !== 'mass')
      return refuse('not_weighed', 'stepId', 'This step weighs nothing; look at the job again.');
    const source = this.#source(state, 'mass', stepId);
    return source.ok ? takeTare(source.value) : source;
  }

  fitness(state: JobState, sheet: ServiceSheet, stepId: string): InstrumentFitness | undefined {
    const measured = measuredStep(state, sheet, stepId);
    const instrument = measured && this.#instrumentFor(measured.step.kind);
    return instrument ? instrumentFitness(instrument, this.#parts.clock.wallTime()) : undefined;
  }

  close(): Promise<void> {
    return this.#running.close();
  }

  #source(state: JobState, quantity: 'mass' | 'torque', stepId: string): Result<CaptureSource> {
    const instrument = this.#instrumentFor(quantity);
    const runtime = instrument && this.#running.get(instrument.instrumentId);
    if (instrument === undefined || runtime === undefined) {
      return refuse(
        'instrument_missing',
        'instrumentId',
        'No instrument is chosen for this step; choose one.',
      );
    }
    const at = this.#parts.clock.wallTime();
    const attemptSinceMilliseconds = this.#attemptBegan(state, stepId);
    return ok({
      runtime,
      instrument,
      fitness: instrumentFitness(instrument, at),
      at,
      attemptSinceMilliseconds,
    });
  }

  /** The instrument in use for a quantity: the assigned one, or the only one of its kind. */
  #instrumentFor(quantity: 'mass' | 'torque'): Instrument | undefined {
    const kind: InstrumentKind = quantity === 'mass' ? 'scale' : 'wrench';
    const assigned = this.#assigned[kind];
    const instrument = assigned === null ? undefined : this.registry.get(assigned);
    return instrument?.retired === null ? instrument : undefined;
  }

  /** Notes when the attempt in hand was first seen; each attempt has its own beginning. */
  #attemptBegan(state: JobState, stepId: string): number {
    const attempts = state.steps.find((step) => step.stepId === stepId)?.attempts.length ?? 0;
    const key = `${state.jobId}/${stepId}/${attempts}`;
    const known = this.#attemptSince.get(key);
    if (known !== undefined) return known;
    const now = this.#parts.clock.nowMilliseconds();
    this.#attemptSince.set(key, now);
    return now;
  }

  #view(instrument: Instrument, at: string): InstrumentView {
    const running = this.#running.get(instrument.instrumentId);
    const health = running?.live.health();
    const port = health?.port;
    const inForce = certificateInForce(instrument, at);
    const { usable, code, message } = instrumentFitness(instrument, at);
    return {
      instrumentId: instrument.instrumentId,
      kind: instrument.kind,
      name: instrument.name,
      profileName: instrument.profileName,
      simulated: instrument.simulated,
      port: {
        path: running?.live.port.path ?? '',
        state: (port?.kind === 'failed' ? 'missing' : (port?.kind ?? 'closed')) satisfies PortState,
        message: port !== undefined && 'message' in port ? port.message : '',
      },
      silent: health?.condition === 'silent',
      linesPerSecond: health?.linesPerSecond ?? 0,
      rejections: health?.rejections ?? {},
      lastRejection: health === undefined ? null : rejectionSinceLastReading(health),
      fitness: { usable, code, message },
      certificateNumber: inForce?.certificate.number ?? null,
      calibrationDue: inForce?.certificate.due ?? null,
      lastCheckAt: instrument.lastCheck?.at ?? null,
    };
  }

  #changed(): void {
    for (const listener of this.#changeListeners) listener();
  }

  #readAssigned(): { scale: string | null; wrench: string | null } {
    const first = (kind: InstrumentKind) =>
      this.registry.all().find((entry) => entry.kind === kind && entry.retired === null)?.instrumentId ??
      null;
    return (
      readKept(this.#parts.settingsFile, settingsSchema) ?? { scale: first('scale'), wrench: first('wrench') }
    );
  }
}

/** Why nothing is believed now; what was refused before the last reading explains nothing any more. */
function rejectionSinceLastReading({
  lastRejection,
  lastIndicationAt,
}: InstrumentHealth): RejectionReason | null {
  if (lastRejection === null) return null;
  const isOver =
    lastIndicationAt !== null && lastIndicationAt.arrivedAtMilliseconds > lastRejection.arrivedAtMilliseconds;
  return isOver ? null : lastRejection.refused;
}

function noSuchInstrument(instrumentId: string): Result<never> {
  return refuse(
    'no_such_instrument',
    'instrumentId',
    `There is no instrument ${instrumentId}; choose one of the list.`,
  );
}
