import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Clock, createSystemClock, formatWallTime } from '../../drivers/port/clock.ts';
import { answerCall } from '../../electron/station/calls.ts';
import type { PinHashing } from '../../electron/station/people/pin.ts';
import type { Screen } from '../../electron/station/serve/screen-server.ts';
import { Station } from '../../electron/station/station.ts';
import type { CallName, CallParameters, CallResults, News } from '../../shared/contract.ts';
import type { Refusal } from '../../shared/result.ts';

/** scrypt at its cheapest: these tests are not about guessing hashes. */
export const cheapHashing: PinHashing = { cost: 16, blockSize: 1, parallelization: 1 };

/** The invented PINs of the demo workshop (seeds/people.json). */
export const demoPins = {
  amber: '2580',
  birch: '4719',
  cedar: '7391',
  dune: '6284',
  flint: '8150',
  quartz: '9037',
} as const;
export type DemoPerson = keyof typeof demoPins;

const silentLog = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** The wall clock can be moved on; the monotonic clock is the real one, as simulated instruments need it. */
export interface MovableClock extends Clock {
  moveOn(milliseconds: number): void;
}

export function movableClock(): MovableClock {
  const real = createSystemClock();
  let ahead = 0;
  return {
    nowMilliseconds: () => real.nowMilliseconds(),
    wallTime: () => formatWallTime(Date.parse(real.wallTime()) + ahead, 60),
    moveOn(milliseconds) {
      ahead += milliseconds;
    },
  };
}

/** A screen of the test with what the station pushed to it. */
export interface TestScreen extends Screen {
  readonly news: News[];
}

/** A real station on a real folder of its own, without the server: calls go straight to it. */
export class TestBench {
  readonly folder = mkdtempSync(join(tmpdir(), 'bandwright-station-'));
  readonly clock = movableClock();
  #station: Station | undefined;

  get station(): Station {
    if (this.#station === undefined) throw new Error('the station is not open');
    return this.#station;
  }

  async open(): Promise<this> {
    this.#station = await Station.open({
      dataFolder: this.folder,
      log: silentLog,
      clock: this.clock,
      pinHashing: cheapHashing,
    });
    return this;
  }

  async restart(): Promise<void> {
    await this.station.close();
    await this.open();
  }

  async end(): Promise<void> {
    await this.#station?.close();
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** A screen with that person signed in, or nobody. */
  screen(personId: string | null): TestScreen {
    const { sessions } = this.station;
    const session = sessions.find(sessions.admit(this.clock.wallTime()));
    if (session === undefined) throw new Error('the screen was not let in');
    const news: News[] = [];
    this.station.signIn(session, personId);
    return { session, news, push: (item) => news.push(item) };
  }

  /** Calls the station as a screen does: the answer's value, or the refusal. Throws on a fault. */
  async call<Name extends CallName>(
    screen: Screen,
    name: Name,
    parameters: CallParameters<Name>,
  ): Promise<CallResults[Name] | { readonly refusal: Refusal }> {
    const answer = await answerCall(this.station, screen, name, JSON.parse(JSON.stringify(parameters)));
    if (answer.ok) return answer.value as CallResults[Name];
    if ('refusal' in answer) return { refusal: answer.refusal };
    throw new Error(answer.fault.message);
  }

  /** The same where a refusal would be a mistake of the test. */
  async mustCall<Name extends CallName>(
    screen: Screen,
    name: Name,
    parameters: CallParameters<Name>,
  ): Promise<CallResults[Name]> {
    const result = await this.call(screen, name, parameters);
    if (result !== null && typeof result === 'object' && 'refusal' in result) {
      throw new Error(`${name} was refused: ${result.refusal.field} ${result.refusal.message}`);
    }
    return result as CallResults[Name];
  }

  /** The code of the refusal, or `taken`. */
  async codeOf<Name extends CallName>(
    screen: Screen,
    name: Name,
    parameters: CallParameters<Name>,
  ): Promise<string> {
    const result = await this.call(screen, name, parameters);
    return result !== null && typeof result === 'object' && 'refusal' in result
      ? result.refusal.code
      : 'taken';
  }
}
