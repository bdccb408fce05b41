import { describe, expect, test } from 'vitest';
import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { readProfile } from '../../../drivers/profile.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';

function profileOf(words: object) {
  const profile = readProfile({
    kind: 'mass',
    frame: { ends: ['0d0a'], max_bytes: 64 },
    units: { kg: 'kg' },
    ...words,
  });
  if (!profile.ok) throw new Error(`${profile.error.field}: ${profile.error.message}`);
  return profile.value;
}

function said(outcomes: readonly Outcome[]): string[] {
  return outcomes.map((outcome) =>
    outcome.kind === 'rejection'
      ? `${outcome.rejection.offset} ${outcome.rejection.refused}`
      : `${outcome.indication.offset} ${outcome.indication.text} ${outcome.indication.unit} ${outcome.indication.state}`,
  );
}

function decode(words: object, text: string): string[] {
  const decoder = createDecoder(profileOf(words), { synchronised: true });
  return said([...decoder.push(Buffer.from(text, 'latin1')), ...decoder.end()]);
}

const weight = { pattern: '^(?<sign>[-+ ]*)(?<value>[\\d.,]+) (?<unit>\\w+)$' };

describe('the number', () => {
  test('a sign column with two signs is damage, not a sign', () => {
    expect(decode(weight, '- 1.5 kg\r\n- -1.5 kg\r\n--1.5 kg\r\n')).toEqual([
      '0 -1.5 kg unstable',
      '10 no_match',
      '21 no_match',
    ]);
  });

  test('with a decimal comma declared, a point is a thousands mark and is refused; without a word the pattern decides', () => {
    expect(decode({ ...weight, decimal: ',' }, '1,5 kg\r\n1.5 kg\r\n')).toEqual([
      '0 1.5 kg unstable',
      '8 no_match',
    ]);
    expect(decode(weight, '1,5 kg\r\n1.5 kg\r\n')).toEqual(['0 1.5 kg unstable', '8 1.5 kg unstable']);
  });

  test('on a limit of the range counts as inside, one last digit beyond it is refused', () => {
    const words = { ...weight, range: { kg: [-1.5, 2] } };
    expect(decode(words, '-1.500 kg\r\n-1.501 kg\r\n2.000 kg\r\n2.001 kg\r\n')).toEqual([
      '0 -1.500 kg unstable',
      '11 out_of_range',
      '22 2.000 kg unstable',
      '32 out_of_range',
    ]);
  });

  test('the printed resolution is kept and minus zero is zero', () => {
    expect(decode(weight, '-0.000 kg\r\n0012.40 kg\r\n.5 kg\r\n5. kg\r\n1.2.3 kg\r\n')).toEqual([
      '0 0.000 kg unstable',
      '11 12.40 kg unstable',
      '23 0.5 kg unstable',
      '30 no_match',
      '37 no_match',
    ]);
  });

  test('a bit whose meaning is left empty says nothing', () => {
    const words = {
      pattern: '^(?<s>[AB])(?<value>\\d+) (?<unit>kg)$',
      bits: [{ group: 's', bit: 0, one: 'stable', zero: '' }],
    };
    expect(decode(words, 'A5 kg\r\nB5 kg\r\n')).toEqual(['0 5 kg stable', '7 5 kg unstable']);
  });

  test('a place of the point beyond the last digit adds zeros instead of losing a factor of ten', () => {
    const words = {
      pattern: '^(?<A>.)(?<value>\\d{3}) (?<unit>kg)$',
      decimals: { group: 'A', mask: 7, subtract: 2 },
    };
    expect(decode(words, '3123 kg\r\n2123 kg\r\n1123 kg\r\n')).toEqual([
      '0 12.3 kg unstable',
      '9 123 kg unstable',
      '18 1230 kg unstable',
    ]);
  });
});

describe('the state', () => {
  test('a mass whose line tells no state is unstable, a torque is the torque of the moment', () => {
    expect(decode(weight, '1.5 kg\r\n')).toEqual(['0 1.5 kg unstable']);
    expect(decode({ ...weight, kind: 'torque', units: { Nm: 'N.m' } }, '1.5 Nm\r\n')).toEqual([
      '0 1.5 N.m track',
    ]);
  });

  test('a status mark that the profile does not list is refused', () => {
    const words = {
      pattern: '^(?<st>\\w) (?<value>\\d+) (?<unit>kg)$',
      stability: { group: 'st', stable: ['S'], unstable: ['D'] },
    };
    expect(decode(words, 'S 1 kg\r\nD 1 kg\r\nX 1 kg\r\n')).toEqual([
      '0 1 kg stable',
      '8 1 kg unstable',
      '16 unknown_status',
    ]);
  });

  test('status digits that are no hexadecimal digits are refused', () => {
    const words = {
      pattern: '^(?<value>\\d+) (?<unit>kg) (?<s>\\w{2})$',
      bits: [{ group: 's', radix: 'hex', bit: 1, one: 'stable', zero: 'unstable' }],
    };
    expect(decode(words, '1 kg 02\r\n1 kg 00\r\n1 kg 0Z\r\n')).toEqual([
      '0 1 kg stable',
      '9 1 kg unstable',
      '18 unknown_status',
    ]);
  });

  test('a profile may refuse lines under a word of its own', () => {
    expect(
      decode({ ...weight, refuse_lines: [{ pattern: '^LOBAT', reason: 'low_battery' }] }, 'LOBAT\r\n'),
    ).toEqual(['0 low_battery']);
  });
});

describe('the pattern', () => {
  test('describes the whole line even when it is not anchored', () => {
    expect(decode({ pattern: '(?<value>\\d+) (?<unit>kg)' }, '5 kg\r\n5 kg?\r\nx5 kg\r\n')).toEqual([
      '0 5 kg unstable',
      '6 no_match',
      '13 no_match',
    ]);
  });

  test('refused and ignored lines are known by their beginning', () => {
    const words = { ...weight, refuse_lines: [{ pattern: 'OL', reason: 'overload' }], ignore_lines: ['BA'] };
    expect(decode(words, 'OL 99\r\nxOL\r\nBA:1\r\n')).toEqual([
      '0 overload',
      '7 no_match',
      '12 not_a_reading',
    ]);
  });
});

describe('columns', () => {
  test('other named groups are kept as text, blank ones left out', () => {
    const profile = profileOf({
      pattern: '^(?<value>\\d+) (?<unit>kg)(?: (?<angle>[ \\d]{3}))?(?<judge>OK)?$',
    });
    const decoder = createDecoder(profile, { synchronised: true });
    const columns = decoder
      .push(Buffer.from('1 kg  31OK\r\n2 kg\r\n'))
      .map((outcome) => outcome.kind === 'indication' && outcome.indication.columns);
    expect(columns).toEqual([{ angle: '31', judge: 'OK' }, undefined]);
  });
});

describe('a lost port', () => {
  test('half a line before the loss is never joined with half a line after it', () => {
    const decoder = createDecoder(findBuiltInProfile('scale-value-and-unit')!);
    const outcomes = [
      ...decoder.push(Buffer.from('0.0 kg\r\n1.000 kg\r\n2.2')),
      ...decoder.reconnect(),
      ...decoder.push(Buffer.from('33 kg\r\n3.000 kg\r\n')),
    ];
    expect(said(outcomes)).toEqual([
      '0 first_partial',
      '8 1.000 kg unstable',
      '18 cut_by_reconnect',
      '21 first_partial',
      '28 3.000 kg unstable',
    ]);
  });

  test('a half start of a frame is cut, bytes outside frames are not', () => {
    const decoder = createDecoder(findBuiltInProfile('scale-enquiry-dialogue')!);
    expect(said([...decoder.push(Buffer.from('x\x01')), ...decoder.reconnect()])).toEqual([
      '1 cut_by_reconnect',
    ]);
    expect(said([...decoder.push(Buffer.from('xx')), ...decoder.end()])).toEqual(['2 outside_frame']);
  });

  test('peaks that were accepted stay known, also to the decoder of the next start', () => {
    const profile = findBuiltInProfile('wrench-comma-line')!;
    const line = Buffer.from('HD,003,+088.0,nm,+028,deg,LO,123456A,31/04/17,10:03:10\r\n');
    const older = Buffer.from('HD,002,+104.2,nm,+031,deg,OO,123456A,31/04/17,10:02:50\r\n');
    const newer = Buffer.from('HD,001,+088.0,nm,+028,deg,LO,123456A,31/04/17,10:09:00\r\n');
    const decoder = createDecoder(profile);
    decoder.push(line);
    decoder.reconnect();
    expect(said(decoder.push(line))).toEqual(['56 duplicate']);
    const next = createDecoder(profile, { remembered: structuredClone(decoder.remembered()) });
    expect(said([...next.push(line), ...next.push(older), ...next.push(newer)])).toEqual([
      '0 duplicate',
      '56 stale_replay',
      '112 88.0 N.m peak',
    ]);
  });

  test('the unit told by a heading is forgotten', () => {
    const decoder = createDecoder(findBuiltInProfile('wrench-live-then-final')!);
    const before = decoder.push(Buffer.from('T:UNT6,TRQ20.0,NUM1\r\nD:12.4,C,2\r\n'));
    expect(said(before)).toEqual(['0 not_a_reading', '21 12.4 lbf.ft track']);
    const [, reading] = before;
    // The heading belongs to the evidence of the reading.
    expect(reading?.kind === 'indication' && Buffer.from(reading.raw).toString()).toBe(
      'T:UNT6,TRQ20.0,NUM1\r\nD:12.4,C,2\r\n',
    );
    decoder.reconnect();
    expect(said(decoder.push(Buffer.from('D:13.4,C,2\r\n')))).toEqual(['33 unit_missing']);
  });
});

describe('a ticket', () => {
  const profile = findBuiltInProfile('scale-ticket-gross-tare-net')!;
  const ticket =
    'Date: 2031-04-17\rTime: 09:14:05\rGross: 12.500 kg\rTare: 0.500 kg\rNet: 12.000 kg\r-----\r';

  test('is one reading with all its lines as evidence', () => {
    const decoder = createDecoder(profile, { synchronised: true });
    const [outcome] = decoder.push(Buffer.from(`${ticket}`));
    expect(outcome?.kind === 'indication' && Buffer.from(outcome.raw).toString()).toBe(ticket);
    expect(outcome).toMatchObject({ startOffset: 0, endOffset: ticket.length });
  });

  test('must add up to the last digit', () => {
    const decoder = createDecoder(profile, { synchronised: true });
    const wrong = ticket.replace('12.000', '12.0001');
    expect(said(decoder.push(Buffer.from(wrong)))).toEqual(['0 ticket_inconsistent']);
    expect(said(decoder.push(Buffer.from(ticket.replace('12.000', '12.0000'))))).toHaveLength(1);
  });
});
