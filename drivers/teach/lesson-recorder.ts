import { type Result, refuse } from '../../shared/result.ts';
import { beginLesson, type Confirmation, confirmDisplay, type Display, type Lesson } from './lesson.ts';

export type LessonHeard = ReturnType<typeof beginLesson>;

/** Enough for some minutes of a usual instrument; older bytes are let go while nothing is confirmed. */
const mostBytes = 16_384;
/** With confirmations, which must stay in the recording, it may grow to this. */
const mostConfirmedBytes = 65_536;

/**
 * The bytes of a lesson as they come, and what was confirmed on the way: a display is confirmed at its time, later
 * ones add to it.
 */
export class LessonRecorder {
  #bytes = Buffer.alloc(0);
  #heard = 0;
  #confirmations: readonly Confirmation[] = [];
  /** Columns of the lines that were confirmed; with another number of columns they are other lines. */
  #columns = 0;
  #roles: Lesson['roles'] | undefined;

  /** All bytes that were taken, also those let go since. */
  get heardBytes(): number {
    return this.#heard;
  }

  take(chunk: Uint8Array): void {
    const isFull = this.#confirmations.length > 0 && this.#bytes.length + chunk.length > mostConfirmedBytes;
    if (isFull) return;
    this.#heard += chunk.length;
    const all = Buffer.concat([this.#bytes, chunk]);
    this.#bytes = this.#confirmations.length > 0 ? all : all.subarray(-mostBytes);
  }

  /** After a loss of the port: nothing that came before counts. */
  forget(): void {
    this.#bytes = Buffer.alloc(0);
    this.#confirmations = [];
  }

  /** The recording as it is. */
  bytes(): Uint8Array {
    return this.#bytes;
  }

  /** What was confirmed so far. */
  confirmed(): readonly Display[] {
    return this.#confirmations.map(({ display }) => display);
  }

  /** The guesses from what was heard and confirmed. Refusals: those of `beginLesson`. */
  lesson(untilHeardBytes = this.#heard): Result<Lesson> {
    const late = Math.max(0, this.#heard - untilHeardBytes);
    const lesson = beginLesson(this.#bytes.subarray(0, Math.max(0, this.#bytes.length - late)));
    if (!lesson.ok || this.#confirmations.length === 0) return lesson;
    if (lesson.value.readings.columns.length !== this.#columns) return lesson;
    return { ok: true, value: { ...lesson.value, ...this.#narrowed(lesson.value) } };
  }

  /**
   * Takes what the display showed when so many bytes had been heard: a person types for longer than a value stands. Refusals: those of `confirmDisplay`, `lines_changed` when the lines have
   * other columns than those confirmed before, and `display_moved` when a display said to be at rest belongs to a line
   * that says something else than the newest one.
   */
  confirm(display: Display, atHeardBytes = this.#heard): Result<Lesson> {
    const heard = this.lesson(atHeardBytes);
    if (!heard.ok) return heard;
    if (this.#confirmations.length > 0 && heard.value.readings.columns.length !== this.#columns) {
      this.#confirmations = [];
      return refuse(
        'lines_changed',
        'text',
        'the lines have other columns than those confirmed before; confirm all of it again',
      );
    }
    const confirmed = confirmDisplay(heard.value, display);
    if (!confirmed.ok) return confirmed;
    if (display.state === 'stable' && hasMovedOn(confirmed.value)) {
      return refuse(
        'display_moved',
        'text',
        'the lines have changed their state since this number; let the display stand still and read it again',
      );
    }
    this.#confirmations = confirmed.value.confirmations;
    this.#columns = confirmed.value.readings.columns.length;
    this.#roles = confirmed.value.roles;
    return confirmed;
  }

  #narrowed(lesson: Lesson): Pick<Lesson, 'roles' | 'confirmations'> {
    return { roles: this.#roles ?? lesson.roles, confirmations: this.#confirmations };
  }
}

/** At rest the newest line says the same as the one that was read; a digit that flickers may have led further back. */
function hasMovedOn({ readings, roles, confirmations }: Lesson): boolean {
  const newest = readings.rows.findLast((row) => row !== null);
  const read = confirmations.at(-1)?.row;
  return roles.flags.some(
    (at) => (readings.columns[at]?.values.length ?? 0) > 1 && newest?.[at]?.text !== read?.[at]?.text,
  );
}
