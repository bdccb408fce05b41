import { createHash, randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { z } from 'zod';
import { readKept, writeKept } from '../kept-file.ts';
import { storeFaultOf } from '../store/store-fault.ts';

const sessionSchema = z.strictObject({
  /** SHA-256 of the cookie, so that the file alone opens no door. */
  tokenHash: z.string().length(64),
  personId: z.string().nullable(),
  jobId: z.string().nullable(),
  lastActiveAt: z.string(),
});
export type Session = z.infer<typeof sessionSchema>;

const bookSchema = z.array(sessionSchema).max(64);
const mostSessions = 16;

/**
 * The screens that have been let in, kept in a file of mode 0600 beside the database so that a restarted station
 * knows them again: who is signed in and which job is in hand. This is convenience, not evidence; a lost or
 * damaged file only means signing in again.
 */
export class SessionBook {
  readonly #file: string | null;
  readonly #sessions = new Map<string, Session>();

  /** @param dataFolder null while there is none yet: then the sessions are kept in memory alone */
  constructor(dataFolder: string | null) {
    this.#file = dataFolder === null ? null : join(dataFolder, 'sessions.json');
    if (this.#file === null) return;
    for (const session of readKept(this.#file, bookSchema) ?? [])
      this.#sessions.set(session.tokenHash, session);
  }

  /** Takes the screens over that another book has let in. */
  takeOver(other: SessionBook): void {
    for (const session of other.#sessions.values()) this.#sessions.set(session.tokenHash, session);
    this.#write();
  }

  /** Lets a screen in; returns the cookie value, which is not kept. */
  admit(at: string): string {
    const token = randomBytes(32).toString('base64url');
    const session: Session = { tokenHash: hashToken(token), personId: null, jobId: null, lastActiveAt: at };
    this.#sessions.set(session.tokenHash, session);
    const oldestFirst = [...this.#sessions.values()].sort((a, b) =>
      a.lastActiveAt < b.lastActiveAt ? -1 : 1,
    );
    for (const old of oldestFirst.slice(0, Math.max(0, this.#sessions.size - mostSessions))) {
      this.#sessions.delete(old.tokenHash);
    }
    this.#write();
    return token;
  }

  /** The session of a cookie value, if it is known. */
  find(token: string): Session | undefined {
    return this.#sessions.get(hashToken(token));
  }

  /** Changes who is signed in or which job is in hand. */
  update(session: Session, change: Partial<Pick<Session, 'personId' | 'jobId' | 'lastActiveAt'>>): void {
    Object.assign(session, change);
    this.#write();
  }

  /** Where the disk does not take it, the sessions hold until the next restart. */
  #write(): void {
    if (this.#file === null) return;
    try {
      writeKept(this.#file, [...this.#sessions.values()]);
    } catch (error) {
      if (storeFaultOf(error) === undefined) throw error;
    }
  }
}

function hashToken(token: string): string {
  return createHash('sha256').update(token).digest('hex');
}
