import { createHash, randomBytes } from 'node:crypto';

/** A browser at another desk. Of another kind than the screens of the bench: no job in hand, nothing kept on disk. */
export interface RemoteSession {
  readonly tokenHash: string;
  readonly openedAt: number;
  personId: string | null;
  lastActiveAt: number;
}

const minute = 60_000;
/** Minutes without a call after which a person is signed out. */
const idleMinutes = 20;
/** Hours after which everybody signs in anew. */
const longestHours = 12;
/** Of browsers where nobody is signed in: the oldest go first. */
const mostSessions = 512;

/** Who has opened the page from another desk; forgotten when the station ends. */
export class RemoteSessions {
  readonly #now: () => number;
  readonly #sessions = new Map<string, RemoteSession>();

  /** @param now milliseconds that only go forward */
  constructor(now: () => number) {
    this.#now = now;
  }

  /** A new session; returns the cookie value, which is not kept. */
  admit(): string {
    const token = randomBytes(32).toString('base64url');
    const now = this.#now();
    const tokenHash = hashOf(token);
    this.#sessions.set(tokenHash, { tokenHash, openedAt: now, personId: null, lastActiveAt: now });
    if (this.#sessions.size > mostSessions) this.#dropOldest();
    return token;
  }

  find(token: string): RemoteSession | undefined {
    const session = this.#sessions.get(hashOf(token));
    return session === undefined || !this.#isAlive(session) ? undefined : session;
  }

  signIn(session: RemoteSession, personId: string | null): void {
    session.personId = personId;
    this.touch(session);
  }

  /** Notes that somebody is there. */
  touch(session: RemoteSession): void {
    session.lastActiveAt = this.#now();
  }

  /** The person, unless they have been away too long. */
  personIn(session: RemoteSession): string | null {
    if (session.personId !== null && this.#now() - session.lastActiveAt > idleMinutes * minute) {
      session.personId = null;
    }
    return this.#isAlive(session) ? session.personId : null;
  }

  #isAlive({ openedAt }: RemoteSession): boolean {
    return this.#now() - openedAt <= longestHours * 60 * minute;
  }

  #dropOldest(): void {
    for (const session of this.#sessions.values()) {
      if (this.#isAlive(session) && session.personId !== null) continue;
      this.#sessions.delete(session.tokenHash);
      return;
    }
  }
}

function hashOf(token: string): string {
  return createHash('sha256').update(token).digest('hex');
}
