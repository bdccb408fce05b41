import { describe, expect, it } from 'vitest';
import { createReadingRoom } from '../../../electron/station/audit/reading-room.ts';
import { chartCommand } from '../../../electron/station/commands/chart.ts';
import { openTestStore, temporaryFolder, writeInventedJobsAtOnce } from '../store/bench.ts';
import { call } from './calling.ts';

function folderWithJobs(count: number): string {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  writeInventedJobsAtOnce(store, count);
  store.close();
  return folder;
}

describe('the command chart', () => {
  it('gives the same numbers as the screen', async () => {
    const folder = folderWithJobs(30);
    const { code, out } = await call(chartCommand, '', [], {
      json: true,
      data: folder,
      quantity: 'torque',
      head: 'invented-head-1',
      rules: 'nelson',
    });
    const room = createReadingRoom(folder);
    const asked = await room.ask('processChart', {
      filter: { quantity: 'torque', headId: 'invented-head-1' },
      rules: 'Nelson',
    });
    await room.close();
    expect(code).toBe(0);
    expect(JSON.parse(out)).toEqual(asked.ok ? JSON.parse(JSON.stringify(asked.value)) : null);
    expect(JSON.parse(out).study.capability.worst.interval.lower).toBeGreaterThan(0);
  });

  it('prints what a person can check: limits, tolerance, indices with intervals, rules by name', async () => {
    const { out } = await call(chartCommand, '', [], { data: folderWithJobs(30), quantity: 'mass' });
    expect(out).toMatch(/^mass in g, 30 readings, /);
    expect(out).toMatch(/individuals {3}centre 25\.\d+, limits \d+\.\d+ … \d+\.\d+/);
    expect(out).toMatch(/tolerance {5}24\.5 … 25\.5/);
    expect(out).toMatch(/Cp \d\.\d{3} \(\d\.\d{3} … \d\.\d{3}\), Cpk/);
    expect(out).toContain('run rules     Western Electric:');
  });

  it.each([
    [{}, '--quantity: give mass or torque'],
    [{ quantity: 'mass', last: '1' }, '--last: must be 2 or more'],
    [{ quantity: 'mass', rules: 'ours' }, '--rules: "ours" is none'],
    [{ quantity: 'mass', from: '2026-02-30' }, '--from: must be a day'],
    [{ quantity: 'mass', certificate: 'none' }, '--certificate: No certificate has the number "none"'],
    [{ checks: 'scale-9' }, '--checks: No instrument is registered'],
  ])('says what is wrong with %j', async (options, sentence) => {
    const { code, out, error } = await call(chartCommand, '', [], { data: folderWithJobs(1), ...options });
    expect([code, out]).toEqual([2, '']);
    expect(error).toContain(sentence);
  });
});
