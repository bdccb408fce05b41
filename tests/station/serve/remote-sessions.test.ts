import { describe, expect, it } from 'vitest';
import { RateLimit } from '../../../electron/station/serve/rate-limit.ts';
import { RemoteSessions } from '../../../electron/station/serve/remote-sessions.ts';

const minute = 60_000;

function sessionsAt(): { sessions: RemoteSessions; moveOn: (milliseconds: number) => void } {
  let now = 0;
  return {
    sessions: new RemoteSessions(() => now),
    moveOn: (milliseconds) => {
      now += milliseconds;
    },
  };
}

describe('a session at another desk', () => {
  it('signs out whoever was away for more than twenty minutes, and not whoever works on', () => {
    const { sessions, moveOn } = sessionsAt();
    const session = sessions.find(sessions.admit())!;
    sessions.signIn(session, 'flint');
    for (let round = 0; round < 3; round++) {
      moveOn(19 * minute);
      expect(sessions.personIn(session)).toBe('flint');
      sessions.touch(session);
    }
    moveOn(21 * minute);
    expect(sessions.personIn(session)).toBeNull();
    // Not by waiting, only by signing in again.
    sessions.touch(session);
    expect(sessions.personIn(session)).toBeNull();
  });

  it('ends after twelve hours, however busy', () => {
    const { sessions, moveOn } = sessionsAt();
    const token = sessions.admit();
    const session = sessions.find(token)!;
    sessions.signIn(session, 'flint');
    for (let quarter = 0; quarter < 12 * 4; quarter++) {
      moveOn(15 * minute);
      sessions.touch(session);
    }
    expect(sessions.personIn(session)).toBe('flint');
    moveOn(1);
    expect([sessions.personIn(session), sessions.find(token)]).toEqual([null, undefined]);
  });

  it('outlasts any number of strangers who only open the page', () => {
    const { sessions } = sessionsAt();
    const token = sessions.admit();
    sessions.signIn(sessions.find(token)!, 'flint');
    const stranger = sessions.admit();
    for (let count = 0; count < 2000; count++) sessions.admit();
    expect(sessions.find(token)?.personId).toBe('flint');
    expect(sessions.find(stranger)).toBeUndefined();
  });
});

describe('a limit on how often', () => {
  it('lets a burst through, then so many a second, for each key alone', () => {
    let now = 0;
    const limit = new RateLimit({ burst: 3, perSecond: 2 }, () => now);
    const tries = (key: string, count: number) =>
      Array.from({ length: count }, () => limit.take(key)).filter(Boolean).length;
    expect([tries('a', 10), tries('b', 10)]).toEqual([3, 3]);
    now += 1000;
    expect(tries('a', 10)).toBe(2);
    now += 3_600_000;
    expect(tries('a', 10)).toBe(3);
    limit.giveBack('a', 2);
    expect(tries('a', 10)).toBe(2);
  });

  it('keeps its memory bounded, and forgets the quiet ones first', () => {
    let now = 0;
    const limit = new RateLimit({ burst: 1, perSecond: 0 }, () => now++);
    limit.take('quiet');
    for (let key = 0; key < 5000; key++) {
      limit.take('busy');
      limit.take(String(key));
    }
    expect(limit.take('busy')).toBe(false);
    expect(limit.take('quiet')).toBe(true);
  });
});
