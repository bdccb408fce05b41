import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inventedSerial } from '../../../electron/station/audit/invented-job.ts';
import { shownBytes } from '../../../electron/station/audit/reading-row.ts';
import { readVisits, visitAsJson } from '../../../electron/station/audit/timeline.ts';
import { buildTimeline } from '../../../electron/station/audit/timeline-view.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from '../store/bench.ts';
import { buildEvidence, tamper } from './tampering.ts';

/** A number whose serial came before, and that earlier number's serial. */
function comesBack(): number {
  for (let number = 9; ; number++)
    if (inventedSerial(number) !== `INV-${String(number).padStart(7, '0')}`) return number;
}

describe('the timeline of a serial', () => {
  it('shows every visit in order, each with its readings, their bytes and what they stand on', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobs(store, comesBack());
    const serial = inventedSerial(comesBack());
    const timeline = buildTimeline(store, serial, (personId) => `name of ${personId}`);
    expect(timeline.visits.length).toBeGreaterThan(1);
    expect(timeline.visits.map(({ openedAt }) => openedAt).toSorted()).toEqual(
      timeline.visits.map(({ openedAt }) => openedAt),
    );
    const [mass, torque] = timeline.visits[0]!.captures;
    expect(mass).toMatchObject({
      quantity: 'mass',
      unit: 'g',
      decision: 'pass',
      instrument: { certificateNumber: 'INV-scale-1', simulated: true },
      person: expect.stringMatching(/^name of /),
    });
    const bytes = mass!.rawLines
      .map(({ base64 }) => Buffer.from(base64, 'base64').toString('latin1'))
      .join('');
    expect(bytes).toContain(`${mass!.indication.text}  g\r\n`);
    expect(torque).toMatchObject({ quantity: 'torque', unit: 'N.m' });
    expect(timeline.visits[0]!.events.map(({ kind }) => kind)).toEqual([
      'jobOpened',
      'cautionAcknowledged',
      'consumableUsed',
      'tareTaken',
      'jobReleased',
    ]);
    expect(timeline.visits[0]!.recordHash).toBe(store.recordOf(timeline.visits[0]!.jobId)?.record.hash);
  });

  it('names instrument, certificate and profile of each reading by hash, and carries the signed record', () => {
    const store = openTestStore(temporaryFolder());
    writeInventedJobs(store, 1);
    const [visit] = readVisits(store, inventedSerial(1));
    const json = visitAsJson(store, visit!);
    expect(json).toMatchObject({
      phase: 'released',
      record: { serial: inventedSerial(1), signature: expect.any(String) },
      captures: [
        {
          profile: { name: 'invented-scale', revision: 1 },
          certificate: { number: 'INV-scale-1' },
          attempt: 1,
        },
        { profile: { name: 'invented-wrench', revision: 1 }, certificate: { number: 'INV-wrench-1' } },
      ],
    });
  });

  it('shows an open job without a record, and nothing for a serial that never came', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    const reader = openEvidence(folder);
    const open = reader.openJobs()[0]!;
    expect(buildTimeline(reader, open.serial, String).visits.at(-1)).toMatchObject({
      phase: 'open',
      recordHash: null,
    });
    expect(buildTimeline(reader, 'NEVER-CAME', String)).toEqual({ serial: 'NEVER-CAME', visits: [] });
    reader.close();
  });

  it('shows nothing that was altered, names it, and shows the rest', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    tamper(join(folder, databaseName), (database) => {
      database.exec(
        `UPDATE event SET body = replace(body, '"decision":"pass"', '"decision":"fail"') WHERE stream LIKE 'job/%1' AND version = 5`,
      );
    });
    const reader = openEvidence(folder);
    const [visit] = buildTimeline(reader, inventedSerial(1), String).visits;
    expect(visit!.captures.map(({ quantity }) => quantity)).toEqual(['torque']);
    expect(visit!.damage).toMatchObject([{ code: 'streamEventAltered' }]);
    expect(() => reader.readStream(`job/${visit!.jobId}`)).toThrow(
      expect.objectContaining({ code: 'damaged' }),
    );
    reader.close();
  });
});

describe('raw bytes', () => {
  it('are shown so that none of them hides', () => {
    expect(shownBytes(Buffer.from('ST,+1.0 g\r\n'))).toBe('ST,+1.0 g<0D><0A>');
    expect(shownBytes(Buffer.from([0x02, 0x3c, 0xff, 0x7f]))).toBe('<02><3C><FF><7F>');
  });
});
