import { compileWhole } from './profile/pattern.ts';
import type { InstrumentRequest } from './profile/settings.ts';
import { bytesOfHex } from './profile/words.ts';
import type { InstrumentProfile } from './profile.ts';
import type { StepAnswer } from './request-answer.ts';

/** What an instrument can be asked for; `start` once after each opening, for example to switch sending on. */
export type Exchange = 'start' | 'reading' | 'tare' | 'zero';

/** A request of a profile, ready for use. Times in milliseconds. */
export interface CompiledRequest {
  readonly steps: readonly CompiledStep[];
  /** Time from one request to the next; 0 for an instrument that is asked only when a person wishes. */
  readonly pollMilliseconds: number;
  /** Least time between an answer and the next bytes to the instrument. */
  readonly gapMilliseconds: number;
}

interface CompiledStep {
  readonly send: Uint8Array;
  /** Must come before the next step, and does not reach the decoder. Absent in a last step: the reply is a line. */
  readonly answer?: StepAnswer;
  readonly timeoutMilliseconds: number;
}

/** The requests that a profile has. */
export type CompiledRequests = Readonly<Partial<Record<Exchange, CompiledRequest>>>;

/** Makes the requests of a profile ready for use. */
export function compileRequests(
  profile: Pick<InstrumentProfile, 'start_request' | 'request' | 'tare_request' | 'zero_request'>,
): CompiledRequests {
  const { start_request: start, request: reading, tare_request: tare, zero_request: zero } = profile;
  return {
    ...(start === undefined ? {} : { start: compileRequest(start) }),
    ...(reading === undefined ? {} : { reading: compileRequest(reading) }),
    ...(tare === undefined ? {} : { tare: compileRequest(tare) }),
    ...(zero === undefined ? {} : { zero: compileRequest(zero) }),
  };
}

/** Makes a request of a profile ready for use. */
export function compileRequest(request: InstrumentRequest): CompiledRequest {
  const steps = request.steps ?? [{ send_hex: request.hex ?? '' }];
  return {
    steps: steps.map((step) => ({
      send: bytesOfHex(step.send_hex),
      ...(step.expect_hex !== undefined
        ? { answer: { exact: bytesOfHex(step.expect_hex) } }
        : step.expect !== undefined
          ? { answer: { form: compileWhole(step.expect) } }
          : {}),
      timeoutMilliseconds: step.timeout_ms ?? request.reply_timeout_ms,
    })),
    pollMilliseconds: request.poll_ms,
    gapMilliseconds: request.gap_ms,
  };
}
