import { expect, test } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { randomNumbers } from './corpora.ts';

/**
 * True readings among damage that their line shape can tell from a line: noise (bytes outside 20..7E) in place of
 * bytes or between them, lost line ends, junk between lines, lines cut by a lost port, a start in the middle of a
 * line, endless lines, lines sent twice where they carry an index. Digits lost or changed into other digits inside
 * a line without check byte cannot be told by anybody and are left out there; the shapes with a check byte get one
 * flipped bit or a lost byte as well.
 */
interface Shape {
  readonly name: string;
  /** The line of a true reading. */
  line(random: () => number, index: number): { bytes: string; reading: string };
  readonly hasCheck?: boolean;
  readonly repeats?: boolean;
}

const pick = (random: () => number, list: readonly string[]) => list[Math.floor(random() * list.length)]!;
const digits = (random: () => number, most: number, decimals: number) => (random() * most).toFixed(decimals);
const plain = (text: string) => text.replace(/^0+(?=\d)/, '');

function twosComplement(frame: string): string {
  const sum = [...frame].reduce((total, character) => total + (character.charCodeAt(0) & 0x7f), 0);
  return frame + String.fromCharCode(-sum & 0x7f);
}

const shapes: readonly Shape[] = [
  {
    name: 'scale-comma-header',
    line(random) {
      const value = digits(random, 30, 3);
      const state = pick(random, ['ST', 'US']);
      return {
        bytes: `${state},GS,+${value.padStart(8)}kg\r\n`,
        reading: `${value} kg ${state === 'ST' ? 'stable' : 'unstable'}`,
      };
    },
  },
  {
    name: 'scale-lf-cr-standard',
    line(random) {
      const value = digits(random, 50, 3);
      const motion = pick(random, ['M', ' ']);
      return {
        bytes: `\n 1G${motion} ${value.padStart(10)}kg \r`,
        reading: `${value} kg ${motion === 'M' ? 'unstable' : 'stable'}`,
      };
    },
  },
  {
    name: 'scale-decimal-comma',
    line(random) {
      const value = digits(random, 50, 3);
      return { bytes: `   ${value.replace('.', ',')} kg\n`, reading: `${value} kg stable` };
    },
  },
  {
    name: 'scale-status-bytes-checksum',
    hasCheck: true,
    line(random) {
      const value = digits(random, 50, 3);
      const moving = random() < 0.5;
      const frame = `\x02-${moving ? '8' : '0'} ${value.replace('.', '').padStart(6, '0')}000000\r`;
      return { bytes: twosComplement(frame), reading: `${value} kg ${moving ? 'unstable' : 'stable'}` };
    },
  },
  {
    name: 'wrench-comma-line',
    repeats: true,
    line(random, index) {
      const value = digits(random, 300, 1).padStart(5, '0');
      const two = (number: number) => String(number).padStart(2, '0');
      const stamp = `31/04/17,10:${two(Math.floor(index / 60))}:${two(index % 60)}`;
      const number = String(index + 1).padStart(3, '0');
      return {
        bytes: `HD,${number},+${value},nm,+031,deg,OO,123456A,${stamp}\r\n`,
        reading: `${plain(value)} N.m peak`,
      };
    },
  },
];

const noise = (random: () => number) =>
  pick(random, ['\x00', '\x07', '\x1b', '\x7f', '\x80', '\xb0', '\xc2', '\xff']);

/** Damages one line, or puts something before or behind it. */
function damage(shape: Shape, bytes: string, random: () => number): string {
  const at = Math.floor(random() * bytes.length);
  const end = bytes.length - (bytes.endsWith('\r\n') ? 2 : 1);
  switch (Math.floor(random() * (shape.hasCheck ? 8 : 6))) {
    case 0:
      return bytes.slice(0, at) + noise(random) + bytes.slice(at + 1);
    case 1:
      return bytes.slice(0, at) + noise(random) + bytes.slice(at);
    case 2:
      return shape.hasCheck ? bytes : bytes.slice(0, end);
    case 3:
      return pick(random, ['??', 'ERR;', '#@!', 'xyz']) + bytes;
    case 4:
      return `${bytes}${'7'.repeat(200)}`;
    case 5:
      return shape.repeats ? bytes + bytes : bytes;
    case 6: {
      const flipped = bytes.charCodeAt(at) ^ (1 << Math.floor(random() * 7));
      return bytes.slice(0, at) + String.fromCharCode(flipped) + bytes.slice(at + 1);
    }
    default:
      return bytes.slice(0, at) + bytes.slice(at + 1);
  }
}

test('ten thousand dirty streams: no wrong reading is accepted, and most of the true ones are', () => {
  const random = randomNumbers(417);
  let read = 0;
  let sent = 0;
  for (let stream = 0; stream < 10_000; stream += 1) {
    const shape = shapes[stream % shapes.length]!;
    const decoder = createDecoder(findBuiltInProfile(shape.name)!);
    const truth: string[] = [];
    const found: string[] = [];
    const take = (text: string) => {
      for (const outcome of decoder.push(Buffer.from(text, 'latin1'))) {
        if (outcome.kind === 'rejection') continue;
        const { text: value, unit, state } = outcome.indication;
        found.push(`${value} ${unit} ${state}`);
      }
    };
    // The stream begins in the middle of a line, as any port does.
    take(shape.line(random, 0).bytes.slice(-Math.floor(random() * 12) - 1));
    for (let index = 1; index <= 8; index += 1) {
      const { bytes, reading } = shape.line(random, index);
      truth.push(reading);
      sent += 1;
      const dirty = random() < 0.4 ? damage(shape, bytes, random) : bytes;
      if (random() < 0.1) {
        take(dirty.slice(0, Math.floor(random() * dirty.length)));
        decoder.reconnect();
      } else {
        const cut = Math.floor(random() * dirty.length);
        take(dirty.slice(0, cut));
        take(dirty.slice(cut));
      }
    }
    // Each true reading may be read once, in its order.
    let next = 0;
    for (const reading of found) {
      next = truth.indexOf(reading, next) + 1;
      if (next === 0)
        expect.fail(`${shape.name}: ${reading} of ${found.join(', ')} was not sent, or read twice`);
    }
    read += found.length;
  }
  expect(sent).toBe(80_000);
  expect(read).toBeGreaterThan(45_000);
});
