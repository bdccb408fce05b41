import type { Indication } from '../../shared/indication.ts';
import type { AcceptedOutcome } from './outcome.ts';

/** A line that was accepted. Its bytes are cut out only when they are asked for. */
export class AcceptedLine implements AcceptedOutcome {
  readonly kind = 'indication';
  readonly indication: Indication;
  readonly startOffset: number;
  readonly endOffset: number;
  readonly #source: string;
  readonly #from: number;
  readonly #to: number;

  constructor(
    indication: Indication,
    startOffset: number,
    endOffset: number,
    source: string,
    from: number,
    to: number,
  ) {
    this.indication = indication;
    this.startOffset = startOffset;
    this.endOffset = endOffset;
    this.#source = source;
    this.#from = from;
    this.#to = to;
  }

  get raw(): Uint8Array {
    return new Uint8Array(Buffer.from(this.#source.slice(this.#from, this.#to), 'latin1'));
  }
}
