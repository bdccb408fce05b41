import { ReadlineParser } from '@serialport/parser-readline';
import { createDecoder } from '../../drivers/decode.ts';
import { findBuiltInProfile } from '../../drivers/profiles/index.ts';
import { median, type Row } from './row.ts';

const lines = 300_000;
const chunkSizes = [64, 4096];
const runs = 5;

/** Lines per second of the decoder against a bare line splitter on the same bytes, in small chunks and in large. */
export async function decodingRows(): Promise<Row[]> {
  const bytes = scaleLines();
  const rows: Row[] = [];
  for (const size of chunkSizes) {
    const chunks = chunksOf(bytes, size);
    const ours: number[] = [];
    const bare: number[] = [];
    for (let run = 0; run <= runs; run += 1) {
      const parser = await timeParser(chunks);
      const decoder = timeDecoder(chunks);
      // The first line of a continuous source is dropped on purpose.
      if (parser.count < lines - 1 || decoder.count !== lines - 1)
        throw new Error(`lines were lost: ${decoder.count}`);
      if (run === 0) continue;
      bare.push(lines / parser.seconds);
      ours.push(lines / decoder.seconds);
    }
    rows.push({
      name: `decoding, chunks of ${size} bytes`,
      unit: 'lines/s',
      kind: 'rate',
      aim: 1,
      baseline: '@serialport/parser-readline',
      ours: median(ours),
      bare: median(bare),
      runs,
    });
  }
  return rows;
}

function scaleLines(): Buffer {
  const text = Array.from({ length: lines }, (_, index) => {
    const value = (index % 30_000)
      .toString()
      .padStart(5, '0')
      .replace(/(...)$/, '.$1');
    return `${index % 3 === 0 ? 'ST' : 'US'},GS,+${value.padStart(8)}kg\r\n`;
  });
  return Buffer.from(text.join(''), 'latin1');
}

function chunksOf(bytes: Buffer, size: number): Buffer[] {
  const chunks: Buffer[] = [];
  for (let at = 0; at < bytes.length; at += size) chunks.push(bytes.subarray(at, at + size));
  return chunks;
}

function timeDecoder(chunks: readonly Buffer[]): { seconds: number; count: number } {
  const found = findBuiltInProfile('scale-comma-header');
  if (found === undefined) throw new Error('the profile is not built in');
  const decoder = createDecoder(found);
  let count = 0;
  const started = performance.now();
  for (const chunk of chunks) {
    for (const outcome of decoder.push(chunk)) if (outcome.kind === 'indication') count += 1;
  }
  return { seconds: (performance.now() - started) / 1000, count };
}

async function timeParser(chunks: readonly Buffer[]): Promise<{ seconds: number; count: number }> {
  const parser = new ReadlineParser({ delimiter: '\r\n' });
  let count = 0;
  parser.on('data', () => {
    count += 1;
  });
  const started = performance.now();
  const done = new Promise((resolve) => parser.on('finish', resolve));
  for (const chunk of chunks) {
    if (!parser.write(chunk)) await new Promise((resolve) => parser.once('drain', resolve));
  }
  parser.end();
  await done;
  return { seconds: (performance.now() - started) / 1000, count };
}
