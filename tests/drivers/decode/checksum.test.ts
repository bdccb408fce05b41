import { describe, expect, test } from 'vitest';
import { checkFrame } from '../../../drivers/decode/checksum.ts';

const frame = (text: string, startLength: number, endLength: number, tailLength = 0) => ({
  bytes: Buffer.from(text, 'latin1'),
  startLength,
  endLength,
  tailLength,
});
const body = (range: { from: number; to: number } | null, text: string) =>
  range && text.slice(range.from, range.to);

// Source: the frames of line shapes A9 and A14 (seen and computed by other hands).
describe('the check byte of seen frames', () => {
  test.each([
    '\x02-0 012345000000\r%',
    '\x02-8 012351000000\r\x20',
    '\x02-2  00005000000\r=',
    '\x02-1   4100000200\rL',
  ])('two’s complement of %j fits', (text) => {
    expect(body(checkFrame('twos_complement_low7', frame(text, 1, 1, 1)), text)).toBe(text.slice(1, -2));
  });

  test.each(['\x01\x02S 01.250kgg\x03\x04', '\x01\x02U 01.262kg`\x03\x04', '\x01\x02SF15.000kg\x03\x03\x04'])(
    'exclusive or of %j fits',
    (text) => {
      expect(body(checkFrame('xor8', frame(text, 2, 2)), text)).toBe(text.slice(2, -3));
    },
  );

  test('one wrong bit does not fit', () => {
    expect(checkFrame('twos_complement_low7', frame('\x02-0 012345000000\r&', 1, 1, 1))).toBeNull();
    expect(checkFrame('xor8', frame('\x01\x02S 01.251kgg\x03\x04', 2, 2))).toBeNull();
  });
});

// Source: exclusive or of the characters between $ and *, two hexadecimal digits, as in NMEA 0183 (from memory).
test('hexadecimal digits are checked and taken off', () => {
  const text = '$GPGLL,5300.97914,N,00259.98174,E,125926,A*28\r\n';
  expect(checkFrame('xor8_hex', { ...frame(text.replace('*', ''), 1, 2) })).toEqual({
    from: 1,
    to: text.length - 5,
  });
  expect(checkFrame('xor8_hex', frame('$AB01\r\n', 1, 2))).toBeNull();
  expect(checkFrame('sum8_hex', frame('AB83\r\n', 0, 2))).toEqual({ from: 0, to: 2 });
  expect(checkFrame('sum8', frame('AB\x83\r\n', 0, 2))).toEqual({ from: 0, to: 2 });
  expect(checkFrame('sum8', frame('\r\n', 0, 2))).toBeNull();
});
