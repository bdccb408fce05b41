import { statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob, inventedSerial } from '../../../electron/station/audit/invented-job.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import { jobEventSchema } from '../../../shared/job/event.ts';
import { appendJobEvents, openTestStore, temporaryFolder, writeInventedJobs } from './bench.ts';

describe('the evidence store', () => {
  it('writes a whole job and finds it again by serial with its record', () => {
    const store = openTestStore(temporaryFolder());
    const [jobId] = writeInventedJobs(store, 1);
    const [job] = store.jobsOfSerial(inventedSerial(1));
    expect(job).toMatchObject({ jobId, phase: 'released', headId: expect.any(String) });
    expect(store.readStream(`job/${jobId}`).map((event) => event.version)).toEqual([1, 2, 3, 4, 5, 6, 7]);
    const record = store.recordOf(jobId!);
    expect(record?.record).toMatchObject({ serial: inventedSerial(1), simulated: true, outcome: 'released' });
    expect(record?.record.captures).toHaveLength(2);
  });

  it('writes events that are job events', () => {
    const store = openTestStore(temporaryFolder());
    for (const event of inventedJob(3, 0, putInventedDocuments(store))) {
      expect(jobEventSchema.parse(event)).toEqual(event);
    }
  });

  it('knows the jobs at the bench after a restart', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    appendJobEvents(store, inventedJob(1, 0, putInventedDocuments(store)).slice(0, 5));
    writeInventedJobs(store, 2, 10);
    store.close();
    const again = openTestStore(folder);
    expect(again.openJobs().map((job) => job.jobId)).toEqual(['invented-00000001']);
    expect(again.readStream('job/invented-00000001')).toHaveLength(5);
  });

  it('refuses to add to a job that has moved on, and writes nothing', () => {
    const store = openTestStore(temporaryFolder());
    writeInventedJobs(store, 1);
    const before = store.lastSequence();
    const result = store.append({
      stream: 'job/invented-00000001',
      expectedVersion: 3,
      personId: 'person-1',
      events: [{ kind: 'noteWritten', body: {} }],
    });
    expect(result).toMatchObject({ ok: false, error: { code: 'version_conflict' } });
    expect(store.lastSequence()).toBe(before);
  });

  it('writes several streams at once or none', () => {
    const store = openTestStore(temporaryFolder());
    const events = [{ kind: 'noted', body: { text: 'x' } }];
    const also = (expectedVersion: number) => [{ stream: 'lot/lot-1', expectedVersion, events }];
    const request = { stream: 'workshop', expectedVersion: 0, personId: null, events };
    expect(store.append({ ...request, also: also(4) }).ok).toBe(false);
    expect([store.versionOf('workshop'), store.versionOf('lot/lot-1')]).toEqual([0, 0]);
    expect(store.append({ ...request, also: also(0) }).ok).toBe(true);
    expect([store.versionOf('workshop'), store.versionOf('lot/lot-1')]).toEqual([1, 1]);
  });

  it('lets only one station work in a folder, and readers beside it', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobs(store, 1);
    expect(() => openTestStore(folder)).toThrow(
      expect.objectContaining({ name: 'StoreFault', code: 'held' }),
    );
    const reader = openEvidence(folder);
    expect(reader.jobsOfSerial(inventedSerial(1))).toHaveLength(1);
    reader.close();
    store.close();
    expect(openTestStore(folder).jobsOfSerial(inventedSerial(1))).toHaveLength(1);
  });

  it('keeps the private key for its owner alone and out of the database', () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    expect(statSync(join(folder, 'signing-key.pem')).mode & 0o777).toBe(0o600);
    const [introduction] = store.readStream('station');
    expect(introduction).toMatchObject({
      kind: 'keyIntroduced',
      body: { keyId: store.keyId, algorithm: 'Ed25519' },
    });
    expect(JSON.stringify(introduction)).not.toContain('PRIVATE');
  });

  it('notes when the wall clock was set back, and keeps the order', () => {
    const times = ['2026-03-02T08:00:00.000Z', '2026-03-02T08:00:01.000Z', '2026-03-01T08:00:02.000Z'];
    let looks = 0;
    const store = openTestStore(temporaryFolder(), {
      clock: {
        nowMilliseconds: () => looks * 1000,
        wallTime: () => times[looks++] ?? '2026-03-01T08:00:03.000Z',
      },
    });
    const note = (expectedVersion: number) =>
      store.append({
        stream: 'workshop',
        expectedVersion,
        personId: null,
        events: [{ kind: 'noted', body: {} }],
      });
    for (const version of [0, 1, 2]) note(version);
    expect(store.eventsSince(0, 100).map((event) => [event.sequence, event.kind])).toEqual([
      [1, 'keyIntroduced'],
      [2, 'noted'],
      [3, 'clockJumped'],
      [4, 'noted'],
      [5, 'noted'],
    ]);
  });

  it('names a data folder without a database in one sentence', () => {
    expect(() => openEvidence(temporaryFolder())).toThrow(StoreFault);
  });
});
