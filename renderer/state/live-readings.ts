import type { LiveReading } from '../../shared/contract.ts';

export interface ReceivedReading {
  readonly reading: LiveReading;
  /** On this page's clock, milliseconds. */
  readonly receivedAt: number;
}

/** The course of a value: seconds on the station's clock, values in the unit in which it is judged. */
export interface Course {
  readonly seconds: readonly number[];
  readonly values: readonly number[];
  /** Grows with every change. */
  readonly version: number;
}

interface MutableCourse {
  seconds: number[];
  values: number[];
  version: number;
  pull: number | null;
}

/** Older points are forgotten: a page lives for a shift. */
export const courseSeconds = 60;

/**
 * The newest reading of each instrument, outside React: the few parts which show it are told at most once per
 * frame, however many lines come in, and write it themselves.
 */
export class LiveReadings {
  readonly #latest = new Map<string, ReceivedReading>();
  readonly #courses = new Map<string, MutableCourse>();
  readonly #listeners = new Map<string, Set<() => void>>();
  readonly #changed = new Set<string>();
  readonly #requestFrame: (callback: () => void) => void;
  readonly #now: () => number;
  #frameRequested = false;

  constructor(requestFrame: (callback: () => void) => void, now: () => number) {
    this.#requestFrame = requestFrame;
    this.#now = now;
  }

  receive(reading: LiveReading): void {
    this.#latest.set(reading.instrumentId, { reading, receivedAt: this.#now() });
    this.#extendCourse(reading);
    this.#tell(reading.instrumentId);
  }

  latest(instrumentId: string | null): ReceivedReading | null {
    return (instrumentId === null ? undefined : this.#latest.get(instrumentId)) ?? null;
  }

  /** Milliseconds since the newest reading came, or null without one. */
  age(instrumentId: string | null): number | null {
    const latest = this.latest(instrumentId);
    return latest === null ? null : this.#now() - latest.receivedAt;
  }

  course(instrumentId: string): Course {
    return this.#courseOf(instrumentId);
  }

  /** Begins the course anew. */
  forgetCourse(instrumentId: string): void {
    const course = this.#courseOf(instrumentId);
    this.#courses.set(instrumentId, {
      seconds: [],
      values: [],
      version: course.version + 1,
      pull: course.pull,
    });
    this.#tell(instrumentId);
  }

  /**
   * Forgets what was judged, as when another step or attempt comes in hand: a pull of before does not count any
   * more. What the instrument showed stays.
   */
  forgetJudged(): void {
    for (const [instrumentId, { reading, receivedAt }] of this.#latest) {
      const bare = { ...reading, measured: null, judgement: null, pull: null, dispensing: null };
      this.#latest.set(instrumentId, { reading: bare, receivedAt });
      this.forgetCourse(instrumentId);
    }
  }

  /** Forgets readings and courses, as when the line to the station broke. */
  forgetAll(): void {
    this.#latest.clear();
    this.#courses.clear();
    for (const instrumentId of this.#listeners.keys()) this.#tell(instrumentId);
  }

  subscribe(instrumentId: string, listener: () => void): () => void {
    const listeners = this.#listeners.get(instrumentId) ?? new Set();
    listeners.add(listener);
    this.#listeners.set(instrumentId, listeners);
    return () => listeners.delete(listener);
  }

  #courseOf(instrumentId: string): MutableCourse {
    const known = this.#courses.get(instrumentId);
    if (known !== undefined) return known;
    const course: MutableCourse = { seconds: [], values: [], version: 0, pull: null };
    this.#courses.set(instrumentId, course);
    return course;
  }

  #extendCourse(reading: LiveReading): void {
    if (reading.measured === null) return;
    const course = this.#courseOf(reading.instrumentId);
    const second = reading.atMilliseconds / 1000;
    const pull = reading.pull?.number ?? null;
    const restarted = (course.seconds.at(-1) ?? 0) > second;
    if (pull !== course.pull || restarted) {
      course.seconds = [];
      course.values = [];
      course.pull = pull;
    }
    course.seconds.push(second);
    course.values.push(reading.measured.value);
    course.version += 1;
    const stale = course.seconds.findIndex((at) => at >= second - courseSeconds);
    // In bites, so that the arrays are not moved at every line.
    if (stale > 200) {
      course.seconds.splice(0, stale);
      course.values.splice(0, stale);
    }
  }

  #tell(instrumentId: string): void {
    this.#changed.add(instrumentId);
    if (this.#frameRequested) return;
    this.#frameRequested = true;
    this.#requestFrame(() => {
      this.#frameRequested = false;
      const changed = [...this.#changed];
      this.#changed.clear();
      for (const one of changed) {
        for (const listener of this.#listeners.get(one) ?? []) listener();
      }
    });
  }
}
