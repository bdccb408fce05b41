import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createEvidenceBuffer } from '../../drivers/evidence-buffer.ts';

const at = (milliseconds: number) => ({ arrivedAtMilliseconds: milliseconds, arrivedAt: `t${milliseconds}` });
const bytesOf = (text: string) => Buffer.from(text, 'latin1');
const textOf = (lines: readonly { bytes: Uint8Array }[]) =>
  lines.map((line) => Buffer.from(line.bytes).toString('latin1'));

describe('the recent past of an instrument', () => {
  test('is kept line by line, whatever the pieces, each with the arrival of its last byte', () => {
    const lines = ['ST,1\r\n', 'US,2\r\n', 'ST,30\r\n', 'ST,4\r\n'];
    const stream = lines.join('');
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 30, maxLength: 30 }), (sizes) => {
        const buffer = createEvidenceBuffer();
        let position = 0;
        let boundary = 0;
        let next = 0;
        const lastChunk: number[] = [];
        for (const [number, size] of sizes.entries()) {
          const chunk = stream.slice(position, position + size);
          if (chunk === '') break;
          position += chunk.length;
          buffer.take(bytesOf(chunk), at(number));
          for (let line = lines[next]; line && boundary + line.length <= position; line = lines[next]) {
            buffer.addLine(boundary, boundary + line.length);
            boundary += line.length;
            next += 1;
            lastChunk.push(number);
          }
        }
        const kept = buffer.linesBetween(0, stream.length);
        expect(textOf(kept)).toEqual(lines.slice(0, next));
        expect(kept.map((line) => line.arrivedAtMilliseconds)).toEqual(lastChunk);
      }),
    );
  });

  test('gives the lines from one offset to another, always from a line boundary', () => {
    const buffer = createEvidenceBuffer();
    buffer.take(bytesOf('aaa\nbbb\nccc\nddd\n'), at(1));
    for (const end of [4, 8, 12, 16]) buffer.addLine(end - 4, end);
    expect(textOf(buffer.linesBetween(4, 12))).toEqual(['bbb\n', 'ccc\n']);
    expect(textOf(buffer.linesBetween(6, 12))).toEqual(['bbb\n', 'ccc\n']);
  });

  test('keeps lines that were ignored, between the others', () => {
    const buffer = createEvidenceBuffer();
    buffer.take(bytesOf('BA:87\r\nT:1\r\nD:1.0\r\n'), at(1));
    buffer.addLine(12, 19);
    expect(textOf(buffer.linesBetween(0, 19))).toEqual(['BA:87\r\nT:1\r\n', 'D:1.0\r\n']);
  });

  test('holds no piece which did not begin at the start of a line', () => {
    const buffer = createEvidenceBuffer();
    buffer.take(bytesOf('5.6 g\r\nST,1\r\n'), at(1));
    buffer.dropUntil(7);
    buffer.addLine(7, 13);
    // An endless line, which ends in the same chunk in which a good one follows.
    buffer.take(bytesOf('0'.repeat(500)), at(2));
    buffer.dropUntilNextLine();
    buffer.take(bytesOf('000\r\nST,2\r\n'), at(3));
    buffer.addLine(518, 524);
    // A lost port.
    buffer.take(bytesOf('ST,'), at(4));
    buffer.dropUntilNextLine();
    buffer.take(bytesOf('9\r\nST,3\r\n'), at(5));
    buffer.addLine(530, 536);
    expect(textOf(buffer.linesBetween(0, 1000))).toEqual(['ST,1\r\n', 'ST,2\r\n', 'ST,3\r\n']);
  });

  test('forgets what is too old or too much, oldest first', () => {
    const buffer = createEvidenceBuffer({ keepMilliseconds: 1000, keepBytes: 20 });
    let position = 0;
    const line = (text: string, time: number) => {
      buffer.take(bytesOf(text), at(time));
      position += text.length;
      buffer.addLine(position - text.length, position);
    };
    for (const [index, text] of ['11111\n', '22222\n', '33333\n', '44444\n'].entries()) line(text, index);
    line('5\n', 10);
    expect(textOf(buffer.linesBetween(0, position))).toEqual(['22222\n', '33333\n', '44444\n', '5\n']);
    line('6\n', 1005);
    line('7\n', 1006);
    expect(textOf(buffer.linesBetween(0, position))).toEqual(['5\n', '6\n', '7\n']);
    expect(buffer.offsetSince(500)).toBe(26);
  });

  test('does not grow while a line does not end', () => {
    const buffer = createEvidenceBuffer({ keepMilliseconds: 1000, keepBytes: 100 });
    for (let time = 0; time < 50; time += 1) buffer.take(bytesOf('0'.repeat(10)), at(time));
    buffer.addLine(0, 500);
    expect(buffer.linesBetween(0, 500)).toEqual([]);
    buffer.take(bytesOf('ok\n'), at(60));
    buffer.addLine(500, 503);
    expect(textOf(buffer.linesBetween(0, 503))).toEqual(['ok\n']);
  });
});
