import { ReadlineParser } from '@serialport/parser-readline';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { withoutHighBit } from '../../../drivers/decode/framer.ts';
import { createLineFramer } from '../../../drivers/decode/line-framer.ts';
import { corpora } from './corpora.ts';
import { cuttingOf, pieceSizes } from './mixtures.ts';

/** Lines of the package on the user's card, fed in pieces. Its last, unfinished piece is given as whole: dropped. */
async function linesOfPackage(bytes: Buffer, end: string, cutting: () => number): Promise<string[]> {
  const parser = new ReadlineParser({ delimiter: end, encoding: 'latin1' });
  const lines: string[] = [];
  parser.on('data', (line: string) => lines.push(line));
  for (let at = 0; at < bytes.length; ) {
    const size = cutting();
    parser.write(bytes.subarray(at, at + size));
    at += size;
  }
  const whole = new Promise((resolve) => parser.on('finish', resolve));
  const isUnfinished = !bytes.toString('latin1').endsWith(end);
  parser.end();
  await whole;
  return isUnfinished ? lines.slice(0, -1) : lines;
}

function linesOfFramer(bytes: Buffer, end: string, cutting: () => number): string[] {
  const lines: string[] = [];
  const framer = createLineFramer(
    {
      ends: [end],
      maxBytes: 4096,
      padding: new Uint8Array(256),
      clearHighBit: false,
      dropsFirst: false,
      synchronised: true,
    },
    { onPiece: (text, from, to) => lines.push(text.slice(from, to)), onRefusal: () => undefined },
  );
  for (let at = 0; at < bytes.length; ) {
    const size = cutting();
    framer.push(bytes.subarray(at, at + size));
    at += size;
  }
  return lines;
}

// Oracle: @serialport/parser-readline 13.0.0 (measured facts in the line-shape notes: it drops empty lines).
describe('our framer cuts the same lines as the serialport project’s line parser', () => {
  const ended = corpora
    .filter(({ profile }) => profile.frame.start === undefined)
    .map(({ name, bytes, profile }) => ({
      name,
      // With the parity bit left in, CR LF arrives as 8D 0A and no splitter finds it; see line shape A23.
      bytes: profile.clear_high_bit ? withoutHighBit(bytes) : bytes,
      end: Buffer.from(profile.frame.ends[0]!, 'hex').toString('latin1'),
    }));

  test('ten of the twelve recordings have plain line ends', () => {
    expect(ended).toHaveLength(10);
  });

  test.each(ended)('$name', async ({ bytes, end }) => {
    await fc.assert(
      fc.asyncProperty(pieceSizes, async (sizes) => {
        const ours = linesOfFramer(bytes, end, cuttingOf(sizes));
        expect(ours).toEqual(await linesOfPackage(bytes, end, cuttingOf(sizes)));
        expect(ours.length).toBeGreaterThan(1);
      }),
      { numRuns: 20, seed: 13 },
    );
  });
});
