import { join } from 'node:path';
import { z } from 'zod';
import { type PinAttempt, type PinStanding, pinStanding } from '../../../shared/people/pin-policy.ts';
import { readKept, writeKept } from '../kept-file.ts';

const fileSchema = z.record(z.string(), z.array(z.strictObject({ at: z.string(), right: z.boolean() })));
/** More than locks an account; older ones mean nothing. */
const mostKept = 20;

/** Tries at each person's PIN, kept in a file of mode 0600 so that a restart does not clear the throttle. */
export class PinAttempts {
  readonly #file: string;
  readonly #attempts: Map<string, PinAttempt[]>;

  constructor(dataFolder: string) {
    this.#file = join(dataFolder, 'pin-attempts.json');
    this.#attempts = new Map(Object.entries(readKept(this.#file, fileSchema) ?? {}));
  }

  standing(personId: string, at: string): PinStanding {
    return pinStanding(this.#attempts.get(personId) ?? [], at);
  }

  /** Notes a try before its answer is given, so that a cut connection does not make it free. */
  note(personId: string, attempt: PinAttempt): void {
    const kept = attempt.right ? [] : [...(this.#attempts.get(personId) ?? []), attempt].slice(-mostKept);
    this.#attempts.set(personId, kept);
    this.#write();
  }

  /** A new PIN starts with a clean slate. */
  clear(personId: string): void {
    this.#attempts.delete(personId);
    this.#write();
  }

  #write(): void {
    writeKept(this.#file, Object.fromEntries(this.#attempts));
  }
}
