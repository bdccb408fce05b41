import { expect, it } from 'vitest';
import { judgeScan } from '../../../renderer/state/scan.ts';

const burst = { kind: 'device', text: 'DEMO-AMBER', by: 'burst' } as const;
const marked = { kind: 'device', text: 'DEMO-AMBER', by: 'prefix' } as const;

it('what a person types stays where it is', () => {
  for (const fieldTakesScans of [true, false]) {
    const place = { fieldTakesScans, hasScanEntry: true };
    expect(judgeScan({ kind: 'person', text: 'ok', key: 'Enter' }, place)).toEqual({ kind: 'leave' });
    expect(judgeScan({ kind: 'undecided' }, place)).toEqual({ kind: 'leave' });
  }
});

it('a scan into its own field stays there, without the mark that the scanner sends first', () => {
  const place = { fieldTakesScans: true, hasScanEntry: true };
  expect(judgeScan(burst, place)).toEqual({ kind: 'leave' });
  expect(judgeScan(marked, place)).toEqual({ kind: 'without prefix', text: 'DEMO-AMBER' });
});

it.each([burst, marked])('a scan into a note goes to the entry of the moment', (scan) => {
  expect(judgeScan(scan, { fieldTakesScans: false, hasScanEntry: true })).toEqual({
    kind: 'to entry',
    text: 'DEMO-AMBER',
  });
});

it.each([burst, marked])('a scan that nothing asks for is not used', (scan) => {
  expect(judgeScan(scan, { fieldTakesScans: false, hasScanEntry: false })).toEqual({ kind: 'unused' });
});
