import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createDecoder, type Outcome } from '../../drivers/decode.ts';
import { decodeHidScaleReport } from '../../drivers/hid-report.ts';
import { findBuiltInProfile } from '../../drivers/profiles/index.ts';

const bytes = (hex: string) => Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));
const profile = findBuiltInProfile('hid-scale')!;
const said = (outcomes: readonly Outcome[]) =>
  outcomes.map((outcome) =>
    outcome.kind === 'indication'
      ? `${outcome.indication.text} ${outcome.indication.unit} ${outcome.indication.state}`
      : outcome.rejection.refused,
  );

// Source: examples of section 2 of the line-shape notes, after USB-IF "HID Point of Sale Usage Tables" 1.02, page 8D.
describe('a scale data report', () => {
  test.each([
    ['03 04 02 00 14 00', '20 g stable'],
    ['03 04 0B FF 34 19', '645.2 oz stable'],
    ['03 02 03 FD 00 00', '0.000 kg stable'],
    ['03 03 03 FD 39 30', '12.345 kg unstable'],
    ['04 0B FF 34 19', '645.2 oz stable'], // without the report id
    ['03 04 02 02 05 00', '500 g stable'],
    ['03 06 0C FE 00 00', 'overload'],
    ['03 05 02 00 05 00', 'underload'],
    ['03 01 02 00 05 00', 'instrument_error'],
    ['03 07 02 00 05 00', 'instrument_error'],
    ['03 08 02 00 05 00', 'instrument_error'],
    ['03 09 02 00 05 00', 'unknown_status'],
    ['03 04 04 00 05 00', 'unit_not_allowed'], // carat
    ['03 04 08 00 05 00', 'unit_not_allowed'], // tonne
    ['03 04 03 7F 05 00', 'no_match'], // 5 × 10^127
    ['01 04 02 00 05 00', 'not_a_reading'],
    ['03 04 02 00', 'no_match'],
  ])('%s is %s', (report, expected) => {
    expect(said(createDecoder(profile, { synchronised: true }).push(bytes(report)))).toEqual([expected]);
  });

  test('the first one after an opening may be the weighing before: it is not believed, nor after a lost port', () => {
    const decoder = createDecoder(profile);
    const report = bytes('03 04 02 00 14 00');
    expect(said([...decoder.push(report), ...decoder.push(report)])).toEqual(['stale_replay', '20 g stable']);
    decoder.reconnect();
    expect(said([...decoder.push(report), ...decoder.push(report)])).toEqual(['stale_replay', '20 g stable']);
  });

  test('stored reports are read again one by one from their bytes', () => {
    const decoder = createDecoder(profile, { synchronised: true });
    const [first, second] = decoder.push(bytes('03 03 03 FD 39 30 03 04 03 FD 3A 30'));
    expect(said([first!, second!])).toEqual(['12.345 kg unstable', '12.346 kg stable']);
    expect(second).toMatchObject({ startOffset: 6, endOffset: 12, raw: bytes('03 04 03 FD 3A 30') });
  });

  test('for any bytes nothing is thrown, and what is read is weight times its power of ten', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 5, maxLength: 5 }), (report) => {
        const decoded = decodeHidScaleReport(report);
        if (typeof decoded === 'string') return;
        const scaling = new Int8Array(report.buffer)[2] ?? 0;
        const weight = (report[3] ?? 0) + 256 * (report[4] ?? 0);
        expect(Number(decoded.text)).toBeCloseTo(weight * 10 ** scaling, 10);
      }),
      { numRuns: 2000 },
    );
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 20 }),
        (report) => createDecoder(profile).push(report).length <= 1,
      ),
    );
  });
});
