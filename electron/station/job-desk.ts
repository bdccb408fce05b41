import type { Clock } from '../../drivers/port/clock.ts';
import type { Lot, LotEvent } from '../../shared/consumable/lot.ts';
import { lotUseOf } from '../../shared/consumable/lot-use.ts';
import type { JsonObject } from '../../shared/evidence/canonical-json.ts';
import type { InstrumentFitness } from '../../shared/instrument/fitness.ts';
import type { Capture, Tare } from '../../shared/job/capture.ts';
import type { JobCommand } from '../../shared/job/command.ts';
import type { JobContext } from '../../shared/job/context.ts';
import { decide } from '../../shared/job/decide.ts';
import { type JobEvent, jobEventSchema } from '../../shared/job/event.ts';
import { fold } from '../../shared/job/fold.ts';
import type { JobState } from '../../shared/job/state.ts';
import type { Actor } from '../../shared/people/role.ts';
import { ok, type Refusal, type Result, refuse } from '../../shared/result.ts';
import { type PinnedSheet, type ServiceSheet, serviceSheetSchema } from '../../shared/sheet/sheet.ts';
import type { Registry } from './registry.ts';
import type { Store } from './store/store.ts';

/** A finished measurement with the documents (profile, certificate) that its evidence names by hash. */
export interface Captured<Kind> {
  readonly value: Kind;
  readonly documents: readonly { readonly kind: string; readonly body: JsonObject }[];
}

/** Where the desk gets what a capture command means: the instruments of the bench. */
export interface Measuring {
  /** The measurement in hand at this step, judged, or why there is none. */
  capture(state: JobState, sheet: ServiceSheet, stepId: string): Result<Captured<Capture>>;
  tare(state: JobState, sheet: ServiceSheet, stepId: string): Result<Captured<Tare>>;
  fitness(state: JobState, sheet: ServiceSheet, stepId: string): InstrumentFitness | undefined;
}

export interface JobDeskParts {
  readonly store: Store;
  readonly clock: Clock;
  readonly createId: () => string;
  readonly workshop: string;
  readonly simulated: boolean;
  readonly lots: Registry<Lot, LotEvent>;
  readonly measuring: Measuring;
  /** The sheet in force for a head (or that one sheet), with its hash. */
  sheetInForce(headId: string, sheetId: string | undefined): PinnedSheet | undefined;
}

/** Who commands, and what they proved with a PIN just now. */
export interface Commander {
  readonly person: Actor;
  readonly pinVerified: boolean;
  readonly secondPerson?: (Actor & { readonly pinVerified: boolean }) | undefined;
}

/** Jobs: decides commands, appends what they mean, and knows every open job's state. */
export class JobDesk {
  readonly #parts: JobDeskParts;
  readonly #states = new Map<string, JobState>();
  readonly #sheets = new Map<string, ServiceSheet>();

  constructor(parts: JobDeskParts) {
    this.#parts = parts;
    for (const { jobId } of parts.store.openJobs()) this.state(jobId);
  }

  /** The state of a job, folded from its events when it is asked for the first time. */
  state(jobId: string): JobState | undefined {
    const known = this.#states.get(jobId);
    if (known !== undefined) return known;
    let state: JobState | undefined;
    for (const event of this.#parts.store.readStream(`job/${jobId}`)) {
      state = fold(state, jobEventSchema.parse(event.body));
    }
    if (state !== undefined) this.#states.set(jobId, state);
    return state;
  }

  /** Jobs at the bench, open or held, oldest first. */
  openJobs(): readonly JobState[] {
    return this.#parts.store.openJobs().flatMap(({ jobId }) => this.state(jobId) ?? []);
  }

  /** The open or held job of a serial. */
  openJobOfSerial(serial: string): JobState | undefined {
    return this.openJobs().find((job) => job.serial === serial);
  }

  /** The sheet revision that a job pins. */
  sheetOf(state: JobState): ServiceSheet {
    const known = this.#sheets.get(state.sheetHash);
    if (known !== undefined) return known;
    const document = this.#parts.store.getDocument(state.sheetHash);
    if (document === undefined)
      throw new Error(`the sheet ${state.sheetHash} of job ${state.jobId} is not in the store`);
    const sheet = serviceSheetSchema.parse(document.body);
    this.#sheets.set(state.sheetHash, sheet);
    return sheet;
  }

  /**
   * Runs one command. What it means is on the disk when this returns.
   *
   * @throws StoreFault when the disk or the database fails: nothing was written, the command may be repeated
   */
  command(command: JobCommand, commander: Commander): Result<JobState> {
    const { store, clock, createId } = this.#parts;
    const state = command.kind === 'openJob' ? undefined : this.state(command.jobId);
    const material = this.#gather(command, state);
    if (!material.ok) return material;
    const context: JobContext = {
      at: clock.wallTime(),
      person: commander.person,
      pinVerified: commander.pinVerified,
      ids: { jobId: createId() },
      workshop: this.#parts.workshop,
      simulated: this.#parts.simulated,
      secondPerson: commander.secondPerson,
      ...material.value.context,
    };
    const events = decide(state, command, context);
    if (!events.ok) return events;
    const jobId = events.value[0]?.jobId ?? context.ids.jobId;
    const stored = store.append({
      stream: `job/${jobId}`,
      expectedVersion: state?.version ?? 0,
      personId: commander.person.personId,
      events: events.value.map((event) => ({ kind: event.kind, body: { ...event } as JsonObject })),
      also: this.#usesOfLots(events.value, state),
      documents: material.value.documents,
    });
    if (!stored.ok) return stored;
    this.#parts.lots.take(stored.value);
    let next = state;
    for (const event of events.value) next = fold(next, event);
    if (next === undefined)
      return refuse('nothing_happened', '', 'The command meant nothing; look at the job again.');
    this.#states.set(jobId, next);
    return ok(next);
  }

  /** Lots lose what the job takes from them, in the same transaction. */
  #usesOfLots(events: readonly JobEvent[], state: JobState | undefined) {
    return events.flatMap((event) => {
      const use = state === undefined ? null : lotUseOf(event, state, this.sheetOf(state));
      return use === null ? [] : [this.#parts.lots.plan(use.lotId, [use])];
    });
  }

  /** What `decide` must know for this command besides who and when. */
  #gather(
    command: JobCommand,
    state: JobState | undefined,
  ): Result<{ context: Partial<JobContext>; documents: readonly { kind: string; body: JsonObject }[] }> {
    if (command.kind === 'openJob') {
      const sheet = this.#parts.sheetInForce(command.headId, command.sheetId);
      const openJobOfSerial = this.openJobOfSerial(command.serial)?.jobId;
      const documents =
        sheet === undefined ? [] : [{ kind: 'sheet', body: { ...sheet.sheet } as JsonObject }];
      return ok({ context: { sheet, openJobOfSerial }, documents });
    }
    if (state === undefined) return ok({ context: {}, documents: [] });
    const sheet = this.sheetOf(state);
    const pinned = { sheet: { sheet, hash: state.sheetHash } };
    switch (command.kind) {
      case 'useConsumable': {
        const lot = command.lotId === undefined ? undefined : this.#parts.lots.get(command.lotId);
        return ok({ context: { ...pinned, lot }, documents: [] });
      }
      case 'takeTare': {
        const instrumentFitness = this.#parts.measuring.fitness(state, sheet, command.stepId);
        const tare = this.#parts.measuring.tare(state, sheet, command.stepId);
        if (!tare.ok) return mayStillBeDecided(tare.error, { ...pinned, instrumentFitness });
        return ok({
          context: { ...pinned, instrumentFitness, tare: tare.value.value },
          documents: tare.value.documents,
        });
      }
      case 'captureMass':
      case 'captureTorque': {
        const instrumentFitness = this.#parts.measuring.fitness(state, sheet, command.stepId);
        const capture = this.#parts.measuring.capture(state, sheet, command.stepId);
        if (!capture.ok) return mayStillBeDecided(capture.error, { ...pinned, instrumentFitness });
        return ok({
          context: { ...pinned, instrumentFitness, capture: capture.value.value },
          documents: capture.value.documents,
        });
      }
      default:
        return ok({ context: pinned, documents: [] });
    }
  }
}

/** An unfit instrument is named before a missing reading: `decide` looks at fitness first. */
function mayStillBeDecided(
  error: Refusal,
  context: Partial<JobContext>,
): Result<{ context: Partial<JobContext>; documents: readonly { kind: string; body: JsonObject }[] }> {
  return context.instrumentFitness?.usable === false ? ok({ context, documents: [] }) : { ok: false, error };
}
