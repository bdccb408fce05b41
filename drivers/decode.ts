import type { Indication } from '../shared/indication.ts';
import { AcceptedLine } from './decode/accepted-line.ts';
import { checkFrame } from './decode/checksum.ts';
import { compileLines } from './decode/compiled-lines.ts';
import { createFramer, isFramed } from './decode/create-framer.ts';
import { createDumpWatch } from './decode/dump.ts';
import { createHidDecoder } from './decode/hid-decoder.ts';
import { createLineShapes } from './decode/line-shape.ts';
import type { Decoder, DecoderOptions, Outcome } from './decode/outcome.ts';
import type { ToldUnit } from './decode/reading.ts';
import { createRepeatWatch } from './decode/repeats.ts';
import { createTicketReader } from './decode/ticket.ts';
import type { InstrumentProfile } from './profile.ts';

export type { AcceptedOutcome, Decoder, DecoderOptions, Outcome, RefusedOutcome } from './decode/outcome.ts';

/** A heading line: what it told of the unit, and itself as latin1 text. */
interface Heading {
  readonly raw: string;
  readonly startOffset: number;
  readonly unit: ToldUnit;
}

const noHeading = { raw: '', startOffset: 0, unit: 'unit_missing' } as const;

/** Makes a decoder for a profile that `readProfile` has checked. */
export function createDecoder(profile: InstrumentProfile, options: DecoderOptions = {}): Decoder {
  return profile.hid === undefined ? createLineDecoder(profile, options) : createHidDecoder(profile, options);
}

function createLineDecoder(profile: InstrumentProfile, options: DecoderOptions): Decoder {
  let outcomes: Outcome[] = [];
  let heading: Heading = noHeading;

  const { pattern, names, special, unitLine, reader } = compileLines(profile);
  const units = new Map(Object.entries(profile.units));
  const dump = profile.dump === undefined ? undefined : createDumpWatch(profile.dump);
  const ticket =
    profile.ticket === undefined ? undefined : createTicketReader(profile.ticket, profile.decimal);
  const repeats = createRepeatWatch(profile.sequence?.wraps_after, options.remembered);
  const mayRepeat = profile.sequence !== undefined || profile.stamp !== undefined;
  // Framed shapes are checked by their framer, which knows where start and end lie.
  const lineChecksum = isFramed(profile) ? undefined : profile.checksum?.kind;
  // Nothing is to be taken off the line or looked up before the pattern reads it.
  const isPlain = ticket === undefined && lineChecksum === undefined;
  // Without headings and blocks a line means the same whenever it comes.
  const isAlone = isPlain && dump === undefined && unitLine === undefined && options.isBrief !== true;
  const shapes = isAlone ? createLineShapes(profile, names, pattern, reader) : undefined;

  function refuse(startOffset: number, endOffset: number, reason: string): void {
    outcomes.push({ kind: 'rejection', rejection: { offset: startOffset, refused: reason }, endOffset });
  }

  function takePiece(
    source: string,
    from: number,
    to: number,
    raw: string,
    rawFrom: number,
    rawTo: number,
    startOffset: number,
    isFirst: boolean,
  ): void {
    const endOffset = startOffset + rawTo - rawFrom;
    const known = shapes?.read(source, from, to, startOffset);
    if (known === 'out_of_range') refuse(startOffset, endOffset, known);
    else if (known !== undefined) {
      outcomes.push(new AcceptedLine(known, startOffset, endOffset, raw, rawFrom, rawTo));
    } else takeLine(source.slice(from, to), raw, rawFrom, rawTo, startOffset, isFirst);
  }

  function takeLine(
    text: string,
    raw: string,
    rawFrom: number,
    rawTo: number,
    startOffset: number,
    isFirst: boolean,
  ): void {
    const endOffset = startOffset + rawTo - rawFrom;
    let cells = isPlain ? pattern.exec(text) : null;
    const isSpecial = special.test(text, cells !== null);
    if (isSpecial && special.isNoise(text)) {
      refuse(startOffset, endOffset, isFirst ? 'first_partial' : 'noise');
      return;
    }
    let body = text;
    if (lineChecksum !== undefined) {
      const bytes = Buffer.from(text, 'latin1');
      const checked = checkFrame(lineChecksum, { bytes, startLength: 0, endLength: 0, tailLength: 0 });
      if (checked === null) {
        refuse(startOffset, endOffset, isFirst ? 'first_partial' : 'checksum_bad');
        return;
      }
      body = text.slice(0, checked.to);
    }
    if (ticket !== undefined) {
      takeTicketLine(body, raw.slice(rawFrom, rawTo), startOffset, endOffset);
      return;
    }
    const recognised = takeKnownLine(body, isSpecial, raw, rawFrom, rawTo, startOffset);
    if (recognised !== null) {
      refuse(startOffset, endOffset, recognised);
      return;
    }
    if (!isPlain) cells = pattern.exec(body);
    const refused = isSpecial ? special.refusalOf(body) : null;
    if (refused !== null || cells === null) {
      refuse(startOffset, endOffset, refused ?? (isFirst ? 'first_partial' : 'no_match'));
      return;
    }
    dump?.countReading();
    const reading = reader.read(cells, startOffset, unitLine === undefined ? undefined : heading.unit);
    if (typeof reading === 'string') {
      refuse(startOffset, endOffset, reading);
      return;
    }
    shapes?.learn(text, reading);
    acceptIfNew(reading, raw, rawFrom, rawTo, startOffset, endOffset);
  }

  function acceptIfNew(
    reading: Indication,
    raw: string,
    rawFrom: number,
    rawTo: number,
    startOffset: number,
    endOffset: number,
  ): void {
    const repeat = mayRepeat ? repeats.check(reading.text, reading.seq, reading.stamp) : 'new';
    if (repeat !== 'new') refuse(startOffset, endOffset, repeat);
    else if (unitLine === undefined) {
      outcomes.push(new AcceptedLine(reading, startOffset, endOffset, raw, rawFrom, rawTo));
    } else {
      const both = heading.raw + raw.slice(rawFrom, rawTo);
      outcomes.push(new AcceptedLine(reading, heading.startOffset, endOffset, both, 0, both.length));
    }
  }

  /** The reason for a line that is known for what it is without being a reading; null for any other. */
  function takeKnownLine(
    text: string,
    isSpecial: boolean,
    raw: string,
    rawFrom: number,
    rawTo: number,
    startOffset: number,
  ): string | null {
    const told = unitLine?.exec(text);
    if (told != null) {
      const unit = units.get(told.groups?.unit?.trim() ?? '') ?? 'unit_not_allowed';
      heading = { raw: raw.slice(rawFrom, rawTo), startOffset, unit };
      return unit === 'unit_not_allowed' ? unit : 'not_a_reading';
    }
    if (isSpecial && special.isIgnored(text)) return 'not_a_reading';
    return dump?.takeLine(text) ?? null;
  }

  function takeTicketLine(text: string, raw: string, startOffset: number, endOffset: number): void {
    for (const outcome of ticket?.take(text, { startOffset, endOffset, raw }) ?? []) {
      if (outcome.kind === 'open') continue;
      if (outcome.kind === 'refused') {
        refuse(outcome.at, endOffset, outcome.reason);
        continue;
      }
      const cells = names.map((name) => outcome.groups[name]);
      const reading = reader.read(cells, outcome.at, undefined);
      if (typeof reading === 'string') refuse(outcome.at, endOffset, reading);
      else {
        if (outcome.stamp !== undefined) reading.stamp = outcome.stamp;
        const { startOffset: from, raw: whole } = outcome;
        outcomes.push(new AcceptedLine(reading, from, endOffset, whole, 0, whole.length));
      }
    }
  }

  const framer = createFramer(profile, options.synchronised ?? false, {
    onPiece: takePiece,
    onRefusal: refuse,
  });

  function takeOutcomes(): Outcome[] {
    const taken = outcomes;
    outcomes = [];
    return taken;
  }

  return {
    push(bytes) {
      framer.push(
        Buffer.isBuffer(bytes) ? bytes : Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength),
      );
      return takeOutcomes();
    },
    reconnect() {
      framer.reconnect();
      ticket?.reset();
      dump?.reset();
      heading = noHeading;
      return takeOutcomes();
    },
    end() {
      framer.end();
      return takeOutcomes();
    },
    remembered: () => repeats.remembered(),
    get openSince() {
      return Math.min(framer.openSince, ticket?.openSince ?? framer.openSince);
    },
    get heldBytes() {
      return framer.heldBytes + (ticket?.heldBytes ?? 0) + heading.raw.length;
    },
  };
}
