import type { Clock } from '../../../drivers/port/clock.ts';
import type { PortLister, PortWatch } from '../../../drivers/port/port-list.ts';
import { watchPorts } from '../../../drivers/port/port-watch.ts';
import { createSystemPortLister } from '../../../drivers/port/system-ports.ts';
import { type InstrumentProfile, measurandOf } from '../../../drivers/profile.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { steadinessRuleOf } from '../../../drivers/settling.ts';
import type { Fault } from '../../../drivers/simulated/fault-script.ts';
import { describeSteadiness } from '../../../drivers/steadiness.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import type { Instrument } from '../../../shared/instrument/instrument.ts';
import type { Quantity } from '../../../shared/quantity/unit.ts';
import type { LocalizedText } from '../../../shared/sheet/localized-text.ts';
import type { ProfileView } from '../../../shared/teach-view.ts';
import type { StationLog } from '../log.ts';
import { sha256 } from '../store/sha256.ts';
import type { Store } from '../store/store.ts';
import { BenchInstrument, type BenchReading } from './bench-instrument.ts';
import { canBeSimulated, connectInstrument, disconnectInstrument } from './instrument-source.ts';
import type { PeakMemory } from './peak-memory.ts';
import type { PracticeDevice } from './practice-device.ts';

/** A look costs a call of the system's own program; a port that is missing looks at its path more often itself. */
const arrivalPauseMilliseconds = 1500;

export interface RunningInstrumentsParts {
  readonly store: Store;
  readonly clock: Clock;
  readonly log: StationLog;
  /** Seed of the simulated instruments. */
  readonly seed: number;
  /** What goes wrong with simulated instruments, by their ids. */
  readonly faults?: Readonly<Record<string, readonly Fault[]>>;
  readonly peaks: PeakMemory;
  /** Of a demo workshop. */
  readonly practice: PracticeDevice | null;
  /** Default: the ports of this computer. */
  readonly listPorts?: PortLister;
  /** The register's entry as it is now. */
  entry(instrumentId: string): Instrument | undefined;
  onHealth(): void;
  onReading(reading: BenchReading): void;
}

/** The instruments that are connected, kept in line with the register. */
export class RunningInstruments {
  readonly #parts: RunningInstrumentsParts;
  readonly #running = new Map<string, BenchInstrument>();
  /** What each one was connected by; another entry in the register connects it anew. */
  readonly #connectedBy = new Map<string, string>();
  #started = 0;
  #refreshing: Promise<void> = Promise.resolve();
  readonly #listPorts: PortLister;
  /** Runs only while a real instrument is connected: a simulated one is on no list. */
  #arrivals: PortWatch | undefined;

  constructor(parts: RunningInstrumentsParts) {
    this.#parts = parts;
    this.#listPorts = parts.listPorts ?? createSystemPortLister();
  }

  get(instrumentId: string): BenchInstrument | undefined {
    return this.#running.get(instrumentId);
  }

  /**
   * Connects an instrument of the register: a simulated one to its simulator, a real one to its port. One whose
   * profile is not known is only logged: the others must run.
   */
  start(instrument: Instrument): void {
    const { instrumentId, profileName } = instrument;
    const { clock, log, seed, onHealth, onReading } = this.#parts;
    const profile = this.#profileNamed(profileName);
    if (profile === undefined) {
      log.error({ instrumentId }, `no profile ${profileName}`);
      return;
    }
    const source = connectInstrument(instrument, profile, {
      clock,
      seed: seed + this.#started,
      faults: this.#parts.faults?.[instrumentId] ?? [],
      remembered: this.#parts.peaks.of(instrumentId),
      practice: this.#parts.practice,
      listPorts: this.#listPorts,
    });
    this.#started += 1;
    const running = new BenchInstrument(instrumentId, source, sha256(canonicalJson(profile)));
    this.#running.set(instrumentId, running);
    this.#connectedBy.set(instrumentId, this.#connectionOf(instrument));
    source.live.onEvent((event) => {
      // Retired or connected anew: its last words are nobody's.
      if (this.#running.get(instrumentId) !== running) return;
      if (event.kind === 'health') return onHealth();
      const reading = running.take(event);
      if (event.kind === 'pull' && event.phase === 'complete') this.#keepPeaks(running);
      if (reading !== null) onReading(reading);
    });
    const started = source.live.start();
    if (!started.ok) log.error({ instrumentId }, started.error.message);
    this.#watchArrivals();
  }

  /**
   * After a change in the register: a new instrument starts, a retired one stops, one with another port or profile is
   * connected anew; the others run on undisturbed.
   */
  refresh(instrumentId: string): Promise<void> {
    // One after the other: a port is closed before it is opened again.
    this.#refreshing = this.#refreshing
      .then(() => this.#refresh(instrumentId))
      .catch((error: unknown) => {
        const reason = error instanceof Error ? error.stack : String(error);
        this.#parts.log.error({ instrumentId, error: reason }, 'an instrument could not be connected anew');
      });
    return this.#refreshing;
  }

  /** What a profile measures and whether a simulator speaks it; undefined for a name that is not known. */
  describeProfile(name: string): { quantity: Quantity; canBeSimulated: boolean } | undefined {
    const profile = this.#profileNamed(name);
    return profile && { quantity: measurandOf(profile), canBeSimulated: canBeSimulated(name) };
  }

  /** The rule of ours by which values of a profile are stable, in words; null where it has its own flag. */
  steadinessOf(profileName: string): LocalizedText | null {
    const profile = this.#profileNamed(profileName);
    const rule = profile === undefined ? null : steadinessRuleOf(profile);
    return rule === null ? null : describeSteadiness(rule);
  }

  /** Every profile that a new instrument may be registered with: those taught here first. */
  profileViews(): ProfileView[] {
    const taught = this.#parts.store
      .documentsOfKind('profile')
      .map(({ body }) => String(body.name))
      .filter((name) => findBuiltInProfile(name) === undefined);
    const names = [
      ...[...new Set(taught)].map((name) => ({ name, taught: true })),
      ...builtInProfileNames.map((name) => ({ name, taught: false })),
    ];
    return names.flatMap(({ name, taught }) => {
      const described = this.describeProfile(name);
      return described === undefined ? [] : [{ name, taught, ...described }];
    });
  }

  async close(): Promise<void> {
    await this.#refreshing;
    this.#arrivals?.stop();
    this.#arrivals = undefined;
    for (const running of this.#running.values()) await disconnectInstrument(running);
  }

  async #refresh(instrumentId: string): Promise<void> {
    const running = this.#running.get(instrumentId);
    const changed = this.#parts.entry(instrumentId);
    const runsOn =
      changed?.retired === null && this.#connectionOf(changed) === this.#connectedBy.get(instrumentId);
    if (running !== undefined && !runsOn) {
      this.#running.delete(instrumentId);
      await disconnectInstrument(running);
      this.#watchArrivals();
    }
    // Again: it may have been changed while its port was being closed.
    const instrument = this.#parts.entry(instrumentId);
    if (instrument?.retired === null && !this.#running.has(instrumentId)) this.start(instrument);
  }

  /** A device that has just been plugged in is tried at once, not when its pause after the last try is over. */
  #watchArrivals(): void {
    const real = () => [...this.#running.values()].filter(({ simulator }) => simulator === null);
    if (real().length === 0) {
      this.#arrivals?.stop();
      this.#arrivals = undefined;
      return;
    }
    if (this.#arrivals !== undefined) return;
    this.#arrivals = watchPorts(this.#listPorts, arrivalPauseMilliseconds);
    this.#arrivals.onChange(({ arrived }) => {
      if (arrived.length > 0) for (const { live } of real()) live.port.tryNow();
    });
  }

  /** Before the pull is shown: what a crash may lose is a pull that nobody has seen. */
  #keepPeaks({ instrumentId, live }: BenchInstrument): void {
    try {
      this.#parts.peaks.keep(instrumentId, live.remembered());
    } catch (error) {
      this.#parts.log.error({ instrumentId, error: String(error) }, 'peaks could not be kept');
    }
  }

  /** A built-in profile, or the newest of that name that was taught here. */
  #profileNamed(name: string): InstrumentProfile | undefined {
    const builtIn = findBuiltInProfile(name);
    if (builtIn !== undefined) return builtIn;
    const taught = this.#parts.store.documentsOfKind('profile').map(({ body }) => body);
    return taught.findLast((body) => body.name === name) as InstrumentProfile | undefined;
  }

  #connectionOf({ profileName, portIdentity, simulated, metrology }: Instrument): string {
    const profile = this.#profileNamed(profileName);
    const profileHash = profile === undefined ? null : sha256(canonicalJson(profile));
    return canonicalJson({ profileHash, portIdentity: { ...portIdentity }, simulated, unit: metrology.unit });
  }
}
