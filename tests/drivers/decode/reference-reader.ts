// biome-ignore-all lint/correctness/noVoidTypeReturn: literal, as in the reference it repeats.
/**
 * A slow and literal second reading of the rules, in the order of the corpora's reference reader (check.py), byte
 * by byte and without any of the decoder's code. Only for comparison with the decoder.
 */

// The profile is used as the file has it, without our schema.
// biome-ignore lint/suspicious/noExplicitAny: the words of a profile file, deliberately unchecked here.
type Words = any;
type Groups = Record<string, string | undefined>;

interface Accepted {
  offset: number;
  text: string;
  value: number;
  unit: string;
  state: string;
  seq?: number;
  stamp?: string;
}

const start = (source: string) => new RegExp(source, 'sy');
const matches = (pattern: RegExp, text: string): RegExpExecArray | null => {
  pattern.lastIndex = 0;
  return pattern.exec(text);
};
const bytesOf = (hex: string | undefined) => [...Buffer.from(hex ?? '', 'hex')];
const endsWith = (bytes: readonly number[], end: readonly number[]) =>
  bytes.length >= end.length && end.every((byte, at) => byte === bytes[bytes.length - end.length + at]);

function canonical(printed: string): string {
  let text = printed.replaceAll(' ', '').replaceAll(',', '.');
  const negative = text.startsWith('-');
  text = text.replace(/^[+-]+/, '');
  if (text.startsWith('.')) text = `0${text}`;
  text = text.replace(/^0+(?=\d)/, '');
  return negative && Number(text) !== 0 ? `-${text}` : text;
}

export class ReferenceReader {
  readonly accepted: Accepted[] = [];
  readonly refused: { offset: number; reason: string }[] = [];
  readonly #p: Words;
  readonly #start: number[];
  readonly #ends: number[][];
  #position = 0;
  #buffer: number[] = [];
  #at: number | null = null;
  #skip = false;
  #first = true;
  #outside: number | null = null;
  #tail = 0;
  // biome-ignore lint/suspicious/noExplicitAny: as in the reference.
  #ticket: any = null;
  #dump: { n: number; want: number | null } | null = null;
  #last: string | number | null = null;
  readonly #seen = new Set<string>();
  #lastStamp: string | null = null;

  constructor(profile: Words) {
    this.#p = profile;
    this.#start = bytesOf(profile.frame.start);
    this.#ends = profile.frame.ends.map(bytesOf);
  }

  #fresh(): void {
    this.#buffer = [];
    this.#at = null;
    this.#skip = false;
    this.#first = true;
    this.#outside = null;
    this.#tail = 0;
    this.#ticket = null;
    this.#dump = null;
  }

  #no(offset: number, reason: string): void {
    this.refused.push({ offset, reason });
  }

  reconnect(): void {
    if (this.#buffer.length > 0 && this.#at !== null) this.#no(this.#at, 'cut_by_reconnect');
    this.#fresh();
  }

  end(): void {
    if (this.#buffer.length > 0 && this.#at !== null) this.#no(this.#at, 'unfinished');
    if (this.#outside !== null) this.#no(this.#outside, 'outside_frame');
  }

  feed(bytes: Uint8Array): void {
    for (const byte of bytes) {
      const offset = this.#position;
      this.#position += 1;
      const taken = this.#p.clear_high_bit ? byte & 0x7f : byte;
      if (this.#start.length > 0) this.#framedByte(taken, offset);
      else this.#lineByte(taken, offset);
    }
  }

  #isIn(list: string[] | undefined, byte: number): boolean {
    return (list ?? []).some((hex) => Number.parseInt(hex, 16) === byte);
  }

  #lineByte(byte: number, offset: number): void {
    if (this.#buffer.length === 0 && !this.#skip && this.#isIn(this.#p.frame.pad_bytes, byte)) return;
    if (this.#buffer.length === 0 && this.#at === null) this.#at = offset;
    this.#buffer.push(byte);
    const end = this.#ends.find((candidate) => endsWith(this.#buffer, candidate));
    if (end !== undefined) {
      const line = this.#buffer.slice(0, -end.length);
      const at = this.#at ?? offset;
      const { first, skip } = { first: this.#first, skip: this.#skip };
      this.#buffer = [];
      this.#at = null;
      this.#skip = false;
      this.#first = false;
      if (skip || line.length === 0) return;
      if (first && this.#p.frame.first_line === 'drop') this.#no(at, 'first_partial');
      else this.#line(line, at, first);
      return;
    }
    if (this.#skip) this.#buffer = this.#buffer.slice(-4);
    else if (this.#buffer.length > this.#p.frame.max_bytes) {
      this.#no(this.#at ?? offset, 'too_long');
      this.#skip = true;
    }
  }

  #framedByte(byte: number, offset: number): void {
    const length = this.#start.length;
    if (this.#tail > 0) {
      this.#buffer.push(byte);
      this.#tail -= 1;
      if (this.#tail === 0) this.#finishFrame();
      return;
    }
    this.#buffer.push(byte);
    if (this.#at === null) {
      if (endsWith(this.#buffer, this.#start)) {
        this.#at = offset - length + 1;
        if (this.#outside !== null && this.#outside < this.#at && !this.#skip) {
          this.#no(this.#outside, 'outside_frame');
        }
        this.#outside = null;
        this.#skip = false;
        this.#buffer = [...this.#start];
      } else if (this.#buffer.length >= length) {
        const [oldest = 0] = this.#buffer;
        const { ignore_between: between, pad_bytes: pads } = this.#p.frame;
        if (this.#outside === null && !this.#isIn(between, oldest) && !this.#isIn(pads, oldest)) {
          this.#outside = offset - this.#buffer.length + 1;
        }
        this.#buffer.shift();
      }
      return;
    }
    if (endsWith(this.#buffer, this.#start) && this.#buffer.length > length) {
      this.#no(this.#at, 'truncated');
      this.#at = offset - length + 1;
      this.#buffer = [...this.#start];
      return;
    }
    if (this.#ends.some((end) => endsWith(this.#buffer, end))) {
      this.#tail = this.#p.frame.tail ?? 0;
      if (this.#tail === 0) this.#finishFrame();
      return;
    }
    if (this.#buffer.length > this.#p.frame.max_bytes) {
      this.#no(this.#at, 'too_long');
      this.#buffer = [];
      this.#at = null;
      this.#skip = true;
      this.#outside = offset;
    }
  }

  #finishFrame(): void {
    const frame = this.#buffer;
    const at = this.#at ?? 0;
    const end = this.#ends[0]?.length ?? 0;
    const kind = this.#p.checksum?.kind;
    this.#buffer = [];
    this.#at = null;
    let body = frame.slice(this.#start.length, kind === undefined ? -end : -end - 1);
    if (kind === 'twos_complement_low7') {
      const sum = frame.slice(0, -1).reduce((total, byte) => total + (byte & 0x7f), 0) + (frame.at(-1) ?? 0);
      if ((sum & 0x7f) !== 0) return this.#no(at, 'checksum_bad');
      body = frame.slice(this.#start.length, -end - 1);
    } else if (kind === 'xor8') {
      const check = body.reduce((total, byte) => total ^ byte, 0);
      if (check !== frame[frame.length - end - 1]) return this.#no(at, 'checksum_bad');
    }
    this.#line(body, at, false);
  }

  #line(line: number[], at: number, first: boolean): void {
    const p = this.#p;
    if (!p.binary_status && line.some((byte) => byte < 0x20 || byte > 0x7e)) {
      return this.#no(at, first ? 'first_partial' : 'noise');
    }
    const text = String.fromCharCode(...line);
    if (p.ticket) return this.#ticketLine(text, at);
    if ((p.ignore_lines ?? []).some((source: string) => matches(start(source), text))) {
      return this.#no(at, 'not_a_reading');
    }
    if (p.dump) {
      if (matches(start(p.dump.begin), text)) {
        this.#dump = { n: 0, want: null };
        return this.#no(at, 'not_a_reading');
      }
      const count = matches(start(p.dump.count), text);
      if (count) {
        if (this.#dump) this.#dump.want = Number(count.groups?.count);
        return this.#no(at, 'not_a_reading');
      }
      if (matches(start(p.dump.end), text)) {
        const bad = this.#dump !== null && this.#dump.want !== null && this.#dump.want !== this.#dump.n;
        this.#dump = null;
        return this.#no(at, bad ? 'dump_count_mismatch' : 'not_a_reading');
      }
    }
    const match = matches(start(p.pattern), text);
    for (const { pattern, reason } of p.refuse_lines ?? []) {
      if (matches(start(pattern), text)) return this.#no(at, reason);
    }
    if (!match) return this.#no(at, first ? 'first_partial' : 'no_match');
    if (this.#dump) this.#dump.n += 1;
    this.#reading(match.groups ?? {}, at, {});
  }

  #reading(g: Groups, at: number, extra: { stamp?: string }): void {
    const p = this.#p;
    let { state, unit_fixed: unit } = p;
    let negative = false;
    for (const { group, values, reason } of p.refuse_when ?? []) {
      if (values.includes(g[group])) return this.#no(at, reason);
    }
    for (const bit of p.bits ?? []) {
      const cell = g[bit.group] ?? '';
      const status = bit.radix === 'hex' ? Number.parseInt(cell, 16) : cell.charCodeAt(0);
      const meaning = (status >> bit.bit) & 1 ? bit.one : bit.zero;
      if (!meaning) continue;
      if (meaning.startsWith('refuse:')) return this.#no(at, meaning.slice(7));
      if (meaning.startsWith('unit:')) {
        unit = p.units[meaning.slice(5)];
        if (unit === undefined) return this.#no(at, 'unit_not_allowed');
      } else if (meaning === 'negative') negative = true;
      else state = meaning;
    }
    if (p.stability) {
      if ('always' in p.stability) state = p.stability.always;
      else if (p.stability.stable.includes(g[p.stability.group])) state = 'stable';
      else if (p.stability.unstable.includes(g[p.stability.group])) state = 'unstable';
      else return this.#no(at, 'unknown_status');
    }
    if (p.tags) state = p.tags.map[g[p.tags.group] ?? ''];
    unit ??= p.units[(g[p.unit_group ?? 'unit'] ?? '').trim()];
    if (unit === undefined) return this.#no(at, 'unit_not_allowed');
    let text = (g.value ?? '').trim();
    if (text.includes(' ') || !/^[+-]?\d*[.,]?\d+$/.test(text)) return this.#no(at, 'no_match');
    if (p.decimals) {
      const places = ((g[p.decimals.group] ?? '').charCodeAt(0) & p.decimals.mask) - p.decimals.subtract;
      text = text.padStart(places + 1, '0');
      if (places > 0) text = `${text.slice(0, -places)}.${text.slice(-places)}`;
    }
    const backward = p.direction?.negative.includes(g[p.direction.group]) ?? false;
    if ((g.sign ?? '').trim() === '-' || negative || backward) text = `-${text.replace(/^[+-]+/, '')}`;
    text = canonical(text);
    const value = Number(text);
    const [lower, upper] = p.range[unit] ?? [-1e99, 1e99];
    if (!(lower <= value && value <= upper)) return this.#no(at, 'out_of_range');
    const out: Accepted = { offset: at, text, value, unit, state, ...extra };
    if (p.sequence && !this.#takeSequence(out, g)) return;
    this.accepted.push(out);
  }

  #takeSequence(out: Accepted, g: Groups): boolean {
    const { sequence, stamp } = this.#p;
    const count = Number(g[sequence.group]);
    out.seq = count;
    if (stamp) {
      out.stamp = this.#stamp(g[stamp.group] ?? '', stamp.format);
      const key = JSON.stringify([count, out.text, out.stamp]);
      const isOld = this.#seen.has(key) || (this.#lastStamp !== null && out.stamp < this.#lastStamp);
      if (key === this.#last || isOld) {
        this.#no(out.offset, key === this.#last ? 'duplicate' : 'stale_replay');
        return false;
      }
      this.#last = key;
      this.#seen.add(key);
      this.#lastStamp = out.stamp;
      return true;
    }
    if (typeof this.#last === 'number') {
      const wrap = sequence.wraps_after;
      const ahead = (((count - this.#last) % wrap) + wrap) % wrap;
      if (ahead === 0 || ahead > Math.floor(wrap / 2)) {
        this.#no(out.offset, ahead === 0 ? 'duplicate' : 'stale_replay');
        return false;
      }
    }
    this.#last = count;
    return true;
  }

  #stamp(text: string, format: string): string {
    const [date = '', time = ''] = text.split(/[,;]/);
    if (format.startsWith('yy/')) return `20${date.replaceAll('/', '-')}T${time}`;
    const [day, month, year] = date.split('.');
    return `${year}-${month}-${day}T${time}`;
  }

  #ticketLine(text: string, at: number): void {
    const { ticket } = this.#p;
    const begin = matches(start(ticket.begin), text);
    if (begin) {
      if (this.#ticket) this.#no(this.#ticket.at, 'ticket_incomplete');
      this.#ticket = { at, date: begin.groups?.date, lines: {} };
      return;
    }
    if (!this.#ticket) return this.#no(at, 'no_match');
    for (const [name, source] of Object.entries(ticket.lines)) {
      const match = matches(start(String(source)), text);
      if (match) {
        this.#ticket.lines[name] = { groups: match.groups ?? {}, at };
        return;
      }
    }
    if (!matches(start(ticket.end), text)) return this.#no(at, 'no_match');
    const { lines, date, at: began } = this.#ticket;
    this.#ticket = null;
    if (!Object.keys(ticket.lines).every((name) => name in lines))
      return this.#no(began, 'ticket_incomplete');
    const [gross, tare, net] = ['gross', 'tare', 'net'].map((name) => lines[name].groups);
    const thousandths = (groups: Groups) => Math.round(Number(groups.value) * 1000);
    const differs = thousandths(gross) - thousandths(tare) !== thousandths(net);
    if (differs || gross.unit !== tare.unit || tare.unit !== net.unit) {
      return this.#no(began, 'ticket_inconsistent');
    }
    const report = lines[ticket.report];
    this.#reading(report.groups, report.at, { stamp: `${date}T${lines.time.groups.time}` });
  }
}
