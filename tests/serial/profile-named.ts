import { type InstrumentProfile, readProfile } from '../../drivers/profile.ts';

const serial = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 };
const known: Readonly<Record<string, unknown>> = {
  'scale-comma-header': {
    name: 'scale-comma-header',
    kind: 'mass',
    mode: 'continuous',
    serial,
    frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'drop' },
    pattern: '(?<st>ST|US),(?<mode>GS|NT),(?<sign>[+-])(?<value> *\\d+\\.\\d+) ?(?<unit>[A-Za-z]{1,3}) *',
    refuse_lines: [{ pattern: '^OL,', reason: 'overload' }],
    stability: { group: 'st', stable: ['ST'], unstable: ['US'] },
    units: { g: 'g', kg: 'kg' },
    range: { g: [-100, 3300], kg: [-1, 3.3] },
  },
  'scale-request-letter': {
    name: 'scale-request-letter',
    kind: 'mass',
    mode: 'on demand',
    serial,
    request: { hex: '53490d0a', poll_ms: 250, gap_ms: 100 },
    tare_request: { hex: '540d0a' },
    frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'as any other' },
    pattern: 'S (?<st>[SD]) (?<sign>[ -]*)(?<value>\\d+\\.\\d+) (?<unit>[a-z]{1,3})',
    refuse_lines: [
      { pattern: '^S I$', reason: 'busy' },
      { pattern: '^ES$', reason: 'instrument_error' },
    ],
    ignore_lines: ['^T S$'],
    stability: { group: 'st', stable: ['S'], unstable: ['D'] },
    units: { g: 'g', kg: 'kg' },
    range: { g: [-100, 3300], kg: [-1, 3.3] },
  },
  'wrench-live-then-final': {
    name: 'wrench-live-then-final',
    kind: 'torque',
    mode: 'stream while pulling, then one final line',
    serial,
    frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'accept only if it matches' },
    pattern: '(?<tag>D|F):(?<value>\\d+\\.\\d+),(?<dir>[CA]),(?<angle>\\d+)(?:,(?<judge>OK|NOK))?',
    direction: { group: 'dir', negative: ['A'] },
    tags: { group: 'tag', map: { D: 'track', F: 'peak' } },
    ignore_lines: ['^T:.*$', '^BA:\\d+$'],
    unit_fixed: 'N.m',
    range: { 'N.m': [-350, 350] },
  },
  'wrench-comma-line': {
    name: 'wrench-comma-line',
    kind: 'torque',
    mode: 'one line per pull',
    serial,
    frame: { ends: ['0d0a'], max_bytes: 96, first_line: 'accept only if it matches' },
    pattern:
      'HD,(?<n>\\d{3}),(?<value>[+-]\\d+\\.\\d+),(?<unit>[a-z]+),(?<angle>[+-]\\d+),deg,(?<judge>[A-Z]{2}),(?<id>\\w+),(?<stamp>\\d\\d/\\d\\d/\\d\\d,\\d\\d:\\d\\d:\\d\\d)',
    state: 'peak',
    units: { nm: 'N.m', lbft: 'lbf.ft' },
    range: { 'N.m': [-350, 350], 'lbf.ft': [-260, 260] },
    sequence: { group: 'n', wraps_after: 999 },
    stamp: { group: 'stamp', format: 'yy/mm/dd,HH:MM:SS' },
  },
  'wrench-track-stream': {
    name: 'wrench-track-stream',
    kind: 'torque',
    mode: 'continuous',
    serial,
    frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'drop' },
    pattern: '(?<value>[+-]\\d+\\.\\d+) (?<unit>[A-Za-z.]+)',
    state: 'track',
    units: { 'N.m': 'N.m', 'lbf.ft': 'lbf.ft' },
    range: { 'N.m': [-350, 350], 'lbf.ft': [-260, 260] },
  },
};
export function profileNamed(name: string): InstrumentProfile {
  const result = readProfile(known[name]);
  if (!result.ok) throw new Error(`${name}: ${result.error.field}: ${result.error.message}`);
  return result.value;
}
