import type { Indication } from '../../shared/indication.ts';
import { decodeHidScaleReport } from '../hid-report.ts';
import type { InstrumentProfile } from '../profile.ts';
import { AcceptedLine } from './accepted-line.ts';
import type { Decoder, DecoderOptions, Outcome } from './outcome.ts';

const reportLength = 6;
const nothingRemembered = { sequence: null, last: null, stamp: null, withStamp: [] } as const;

/**
 * Decoder for the reports of a HID scale, behind the same face as the decoder of lines: every push is one report as
 * the system delivers it, or several whole ones with their ids (stored evidence). The first report after an opening
 * may be the weighing before (seen), so it is refused as stale.
 */
export function createHidDecoder(profile: InstrumentProfile, options: DecoderOptions): Decoder {
  const units = new Map(Object.entries(profile.units));
  const ranges = new Map(Object.entries(profile.range));
  let position = 0;
  let first = options.synchronised !== true;

  function take(report: Uint8Array): Outcome {
    const startOffset = position;
    position += report.length;
    const refuse = (refused: string): Outcome => ({
      kind: 'rejection',
      rejection: { offset: startOffset, refused },
      endOffset: position,
    });
    const wasFirst = first;
    first = false;
    const decoded = decodeHidScaleReport(report);
    if (typeof decoded === 'string') return refuse(decoded);
    if (wasFirst) return refuse('stale_replay');
    const unit = units.get(String(decoded.unitIndex));
    if (unit === undefined) return refuse('unit_not_allowed');
    const value = Number(decoded.text);
    const [lower, upper] = ranges.get(unit) ?? [-1e99, 1e99];
    if (value < lower || value > upper) return refuse('out_of_range');
    const indication: Indication = {
      offset: startOffset,
      text: decoded.text,
      value,
      unit,
      state: decoded.state,
    };
    const raw = Buffer.from(report).toString('latin1');
    return new AcceptedLine(indication, startOffset, position, raw, 0, raw.length);
  }

  return {
    push(bytes) {
      if (bytes.length === 0) return [];
      const count = bytes.length / reportLength;
      const areWhole =
        Number.isInteger(count) && bytes.every((byte, index) => index % reportLength !== 0 || byte === 3);
      if (!areWhole) return [take(bytes)];
      return Array.from({ length: count }, (_, index) =>
        take(bytes.subarray(index * reportLength, (index + 1) * reportLength)),
      );
    },
    reconnect() {
      first = true;
      return [];
    },
    end: () => [],
    remembered: () => nothingRemembered,
    get openSince() {
      return position;
    },
    heldBytes: 0,
  };
}
