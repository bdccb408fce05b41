import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { type Clock, createSystemClock } from '../../drivers/port/clock.ts';
import type { Fault } from '../../drivers/simulated/fault-script.ts';
import { foldLot } from '../../shared/consumable/fold.ts';
import { type Lot, type LotEvent, lotEventSchema } from '../../shared/consumable/lot.ts';
import type { SerialView, Snapshot } from '../../shared/contract.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { AuditDesk } from './audit/audit-desk.ts';
import { noteLastVerify } from './audit/last-verify.ts';
import type { BenchReading } from './bench/bench-instrument.ts';
import { InstrumentBench } from './bench/instrument-bench.ts';
import { measuredStep } from './bench/measured-step.ts';
import { PracticeDevice } from './bench/practice-device.ts';
import { seedDemoWorkshop } from './demo-workshop.ts';
import { JobDesk } from './job-desk.ts';
import type { StationLog } from './log.ts';
import { ManagementDesk } from './management-desk.ts';
import { PeopleDesk } from './people/people-desk.ts';
import type { PinHashing } from './people/pin.ts';
import { PinAttempts } from './people/pin-attempts.ts';
import { programVersion } from './program-version.ts';
import { Registry } from './registry.ts';
import { startScreenVerify } from './screen-verify.ts';
import type { Screen } from './serve/screen-server.ts';
import { type Session, SessionBook } from './serve/session-book.ts';
import { SheetDesk } from './sheet-desk.ts';
import { demoPersonView, jobInHandView, openJobView, personView } from './snapshot.ts';
import { openStore } from './store/open-store.ts';
import type { Store } from './store/store.ts';
import { storeFaultOf } from './store/store-fault.ts';
import { TeachDesk } from './teach-desk.ts';
import { readWorkshop, type Workshop } from './workshop.ts';

export interface StationOptions {
  /** Holds the database, the keys and the log; created when it is not there. */
  readonly dataFolder: string;
  readonly log: StationLog;
  readonly clock?: Clock;
  /** Seed of the simulated instruments; the same seed makes the same noise. */
  readonly seed?: number;
  /** What goes wrong with simulated instruments, by their ids; times count from the start of each. */
  readonly faults?: Readonly<Record<string, readonly Fault[]>>;
  /** How new PINs are hashed; left out: as hard as today's advice asks. */
  readonly pinHashing?: PinHashing;
}

/** Minutes without a call after which a screen is locked. */
const idleLockMinutes = 20;

/** The station: composition root of everything that is no Electron. One process, one data folder. */
export class Station {
  readonly store: Store;
  readonly clock: Clock;
  readonly people: PeopleDesk;
  readonly sheets: SheetDesk;
  readonly lots: Registry<Lot, LotEvent>;
  readonly bench: InstrumentBench;
  readonly jobs: JobDesk;
  readonly management: ManagementDesk;
  readonly sessions: SessionBook;
  readonly audit: AuditDesk;
  readonly dataFolder: string;
  readonly pinHashing: PinHashing | undefined;
  readonly teach: TeachDesk;
  readonly #practice: PracticeDevice | null;
  readonly log: StationLog;
  readonly #workshop: Workshop;
  readonly #screens = new Set<Screen>();
  #faults: Snapshot['faults'] = [];
  readonly #idleWatch: NodeJS.Timeout;
  #verifying:
    | {
        readonly personId: string;
        readonly stop: AbortController;
        readonly screens: Set<Pick<Screen, 'push'>>;
      }
    | undefined;
  readonly #closing = new AbortController();

  /**
   * Opens a data folder and starts its bench. A fresh folder becomes the invented demo workshop.
   *
   * @throws StoreFault: `held` by another station, `damaged`, `read_only`, `disk_full` …
   */
  static async open(options: StationOptions): Promise<Station> {
    const { dataFolder, clock = createSystemClock() } = options;
    const store = openStore({ folder: dataFolder, clock, createId: randomUUID, rules: jobEvidence });
    try {
      const workshop = readWorkshop(store) ?? (await seedDemoWorkshop(store, clock, options.pinHashing));
      return new Station({ ...options, clock }, store, workshop);
    } catch (error) {
      store.close();
      throw error;
    }
  }

  private constructor(options: StationOptions & { readonly clock: Clock }, store: Store, workshop: Workshop) {
    const { dataFolder, log, clock, seed = 1 } = options;
    this.dataFolder = dataFolder;
    this.clock = clock;
    this.log = log;
    this.pinHashing = options.pinHashing;
    this.store = store;
    this.#workshop = workshop;
    this.people = new PeopleDesk(this.store, new PinAttempts(dataFolder), clock, options.pinHashing);
    this.sheets = new SheetDesk(this.store, clock);
    this.lots = new Registry(this.store, { prefix: 'lot/', schema: lotEventSchema, fold: foldLot });
    this.sessions = new SessionBook(dataFolder);
    this.audit = new AuditDesk({
      dataFolder,
      wallTime: () => clock.wallTime(),
      onBug: (error) => this.reportBug(error),
    });
    this.#practice = workshop.simulated ? new PracticeDevice(clock, seed + 1000) : null;
    this.bench = new InstrumentBench({
      practice: this.#practice,
      store: this.store,
      clock,
      log,
      seed,
      ...(options.faults === undefined ? {} : { faults: options.faults }),
      settingsFile: join(dataFolder, 'bench.json'),
      peaksFile: join(dataFolder, 'peaks.json'),
    });
    this.jobs = new JobDesk({
      store: this.store,
      clock,
      createId: randomUUID,
      workshop: this.#workshop.name,
      simulated: this.#workshop.simulated,
      lots: this.lots,
      measuring: this.bench,
      sheetInForce: (headId, sheetId) => this.sheets.forHead(headId, sheetId),
    });
    this.management = new ManagementDesk({
      clock,
      simulated: this.#workshop.simulated,
      people: this.people,
      lots: this.lots,
      sheets: this.sheets,
      bench: this.bench,
    });
    this.teach = new TeachDesk({ clock, store: this.store, bench: this.bench, practice: this.#practice });
    this.bench.onChange(() => this.changed());
    this.bench.onReading((reading) => {
      for (const screen of this.#screens) this.#showReading(screen, reading);
    });
    this.#idleWatch = setInterval(() => {
      for (const { session } of this.#screens) this.#lockIfIdle(session);
    }, 10_000);
  }

  /** True on a bench of simulated instruments. */
  get simulated(): boolean {
    return this.#workshop.simulated;
  }

  /** What every screen shows of the station, wherever it stands. */
  get about(): Pick<Snapshot, 'version' | 'workshop' | 'simulated'> {
    const { name, simulated } = this.#workshop;
    return { version: programVersion, workshop: name, simulated };
  }

  /** A screen has come: it gets the whole picture at once. Returns what to do when it goes. */
  welcome(screen: Screen): () => void {
    this.#screens.add(screen);
    this.#lockIfIdle(screen.session);
    this.#show(screen);
    this.#showNewest(screen);
    return () => this.#screens.delete(screen);
  }

  /** Sends every screen its new picture; several changes in one turn make one. */
  changed(): void {
    if (this.#announcing) return;
    this.#announcing = true;
    setImmediate(() => {
      this.#announcing = false;
      for (const screen of this.#screens) this.#show(screen);
    });
  }
  #announcing = false;

  snapshot(session: Session): Snapshot {
    const person = session.personId === null ? undefined : this.people.find({ personId: session.personId });
    const inHand = this.#inHand(session);
    return {
      ...this.about,
      signedIn: person === undefined ? null : personView(person),
      people: this.people.active().map(this.#workshop.simulated ? demoPersonView : personView),
      instruments: this.bench.views(),
      assigned: this.bench.assigned,
      openJobs: this.jobs
        .openJobs()
        .map((state) => openJobView(state, this.jobs.sheetOf(state), this.people)),
      jobInHand:
        inHand === undefined || person === undefined
          ? null
          : jobInHandView(inHand, this.store.jobsOfSerial(inHand.state.serial).length - 1, this.bench),
      faults: this.#faults,
    };
  }

  signIn(session: Session, personId: string | null): void {
    this.sessions.update(session, { personId, lastActiveAt: this.clock.wallTime() });
    this.changed();
  }

  /** Who leaves puts the job aside: it goes on as it is, and whoever comes next begins with their own. */
  signOut(session: Session): void {
    this.sessions.update(session, { jobId: null });
    this.signIn(session, null);
  }

  takeInHand(session: Session, jobId: string | null): void {
    this.sessions.update(session, { jobId });
    this.changed();
    // After the picture of the job: what was read before is judged for the step that is in hand now.
    setImmediate(() => {
      for (const screen of this.#screens) if (screen.session === session) this.#showNewest(screen);
    });
  }

  /** Notes that somebody is at the screen; one that nobody touched for too long is locked first. */
  touch(session: Session): void {
    this.#lockIfIdle(session);
    const now = this.clock.wallTime();
    // A write to disk a minute is enough to know who was here.
    if (Date.parse(now) - Date.parse(session.lastActiveAt) > 60_000) {
      this.sessions.update(session, { lastActiveAt: now });
    }
  }

  /** What is known of a serial, and the sheets that fit it: of its head where it has been here, else all. */
  lookUpSerial(serial: string): SerialView {
    const visits = this.store.jobsOfSerial(serial);
    const headId = visits.at(-1)?.headId;
    const sheets = this.sheets.inForce();
    const fitting = sheets.filter(({ head }) => head.headId === headId);
    const offered = fitting.length > 0 ? fitting : sheets;
    const head = fitting[0]?.head;
    return {
      serial,
      openJobId: this.jobs.openJobOfSerial(serial)?.jobId ?? null,
      visits: visits.map(({ jobId, openedAt, phase }) => ({ jobId, openedAt, phase: phase ?? 'open' })),
      head: head === undefined ? null : { headId: head.headId, name: head.name.en },
      sheets: offered.map((sheet) => ({
        sheetId: sheet.sheetId,
        revision: sheet.revision,
        title: sheet.title,
        headId: sheet.head.headId,
        headName: sheet.head.name,
      })),
    };
  }

  /**
   * Checks the evidence in a worker beside the work; progress goes to the screen that asked. Asked again meanwhile by
   * the same person, it goes there as well: a page that was loaded anew finds it again.
   */
  startVerify(personId: string, screen: Pick<Screen, 'push'>): Result<null> {
    const running = this.#verifying;
    if (running !== undefined) {
      if (running.personId !== personId || running.stop.signal.aborted)
        return refuse('verify_running', '', 'A check is running already; wait for it.');
      running.screens.add(screen);
      return ok(null);
    }
    const stop = new AbortController();
    const screens = new Set([screen]);
    const verifying = { personId, stop, screens };
    this.#verifying = verifying;
    startScreenVerify(
      this.dataFolder,
      (progress) => {
        for (const one of screens) one.push({ news: 'verify', progress });
      },
      AbortSignal.any([stop.signal, this.#closing.signal]),
    )
      .then((result) => {
        if (result !== null) noteLastVerify(this.dataFolder, { ...result, at: this.clock.wallTime() });
      })
      .catch((error: unknown) => this.reportBug(error))
      .finally(() => {
        if (this.#verifying === verifying) this.#verifying = undefined;
      });
    return ok(null);
  }

  /** Stops the check if it is theirs. */
  stopVerify(personId: string): Result<null> {
    if (this.#verifying?.personId !== personId)
      return refuse('no_verify', '', 'No check of yours is running; start one.');
    this.#verifying.stop.abort();
    return ok(null);
  }

  /** The target of the measured step that a screen works on, for simulated hands. */
  targetInHand(session: Session): { readonly value: number; readonly unit: Unit } | undefined {
    const inHand = this.#inHand(session);
    const band = inHand && measuredStep(inHand.state, inHand.sheet, inHand.state.currentStepId)?.step.band;
    return band?.target === undefined ? undefined : { value: band.target, unit: band.unit };
  }

  /** A fault that people must know of, once for each code. */
  reportFault(code: string, message: string): void {
    this.log.error({ code }, message);
    const others = this.#faults.filter((fault) => fault.code !== code).slice(-4);
    this.#faults = [...others, { code, message, at: this.clock.wallTime() }];
    this.changed();
  }

  /** These faults are over. */
  endFaults(codes: readonly string[]): void {
    const left = this.#faults.filter(({ code }) => !codes.includes(code));
    if (left.length === this.#faults.length) return;
    this.#faults = left;
    this.changed();
  }

  /** Something was written: the disk works again, at least for the evidence. */
  wrote(): void {
    this.endFaults(['busy', 'read_only', 'disk_full', 'disk_error', 'cannot_open']);
    const lags = this.store.headLags();
    if (!lags) this.endFaults(['head_lags']);
    else if (!this.#faults.some(({ code }) => code === 'head_lags')) {
      this.reportFault(
        'head_lags',
        'The signed end of the evidence could not be written beside the database; check the data folder and its disk.',
      );
    }
  }

  reportBug(error: unknown): void {
    this.log.error({ error: error instanceof Error ? error.stack : String(error) }, 'bug');
  }

  async close(): Promise<void> {
    clearInterval(this.#idleWatch);
    this.#closing.abort();
    await this.audit.close();
    await this.teach.close();
    await this.bench.close();
    this.#practice?.stop();
    this.store.close();
  }

  #inHand(session: Session) {
    if (session.jobId === null) return undefined;
    const state = this.jobs.state(session.jobId);
    return state && { state, sheet: this.jobs.sheetOf(state) };
  }

  /** A picture that the disk does not give now comes with the next change. */
  #show(screen: Screen): void {
    try {
      screen.push({ news: 'snapshot', snapshot: this.snapshot(screen.session) });
    } catch (error) {
      const fault = storeFaultOf(error);
      if (fault === undefined) throw error;
      this.log.error({ code: fault.code }, fault.message);
    }
  }

  #showReading(screen: Screen, reading: BenchReading): void {
    screen.push({ news: 'live', live: this.bench.liveFor(reading, this.#inHand(screen.session)) });
  }

  /** A pull that nobody has captured yet is not lost to a screen that comes after it. */
  #showNewest(screen: Screen): void {
    for (const reading of this.bench.newestReadings()) this.#showReading(screen, reading);
  }

  #lockIfIdle(session: Session): void {
    const idle = Date.parse(this.clock.wallTime()) - Date.parse(session.lastActiveAt);
    if (session.personId !== null && idle > idleLockMinutes * 60_000) this.signIn(session, null);
  }
}
