import { describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { runVerify } from '../../../electron/station/audit/verify-run.ts';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import type { Capture } from '../../../shared/job/capture.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { appendJobEvents, openTestStore, temporaryFolder, writeInventedJobs } from '../store/bench.ts';
import { verdictOn } from './tampering.ts';

/** A station writes (and seals, and signs) a job whose fill was changed before it was written: only replay can tell. */
function verdictOnFill(change: (capture: Capture) => Partial<Capture>) {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  const events = inventedJob(1, 0, putInventedDocuments(store)).map((event): JobEvent => {
    if (event.kind !== 'measurementCaptured' || event.capture.quantity !== 'mass') return event;
    return { ...event, capture: { ...event.capture, ...change(event.capture) } };
  });
  appendJobEvents(store, events);
  store.close();
  return verdictOn(folder);
}

describe('replay', () => {
  it('agrees with a fill as it was captured', () => {
    expect(verdictOnFill(() => ({}))).toMatchObject({ intact: true });
  });

  it('finds raw bytes that do not read as the indication', () => {
    const line = toBase64(Buffer.from('ST,GS,+0086.10  g\r\n'));
    const { problems } = verdictOnFill(({ evidence }) => ({
      evidence: { ...evidence, lines: [{ atMilliseconds: 0, base64: line }] },
    }));
    expect(problems).toMatchObject([
      { kind: 'replay', jobId: 'invented-00000001', sentence: expect.stringContaining('86.10 g') },
    ]);
  });

  it('finds bytes that are no line at all', () => {
    const { problems } = verdictOnFill(({ evidence }) => ({ evidence: { ...evidence, lines: [] } }));
    expect(problems).toMatchObject([{ kind: 'replay', sentence: expect.stringContaining('read nothing') }]);
  });

  it('finds a measured value that indication, tare and corrections do not give', () => {
    const { problems } = verdictOnFill(({ measured, judgement }) => ({
      measured: { ...measured, value: 25 },
      judgement: { ...judgement, value: 25 },
    }));
    expect(problems.map(({ kind }) => kind)).toContain('judgement');
  });

  it('finds a decision that judging again does not give', () => {
    const { problems } = verdictOnFill(({ judgement }) => ({
      judgement: { ...judgement, decision: 'fail' },
    }));
    expect(problems).toMatchObject([
      { kind: 'judgement', sentence: expect.stringContaining('"pass", not "fail"') },
    ]);
  });

  it('finds a band, a rule or an uncertainty that was moved after judging', () => {
    const changes: ((capture: Capture) => Partial<Capture>)[] = [
      ({ band }) => ({ band: { ...band, lower: 20 } }),
      ({ budget }) => ({ budget: { ...budget, expanded: 0.06 } }),
      () => ({ rule: { kind: 'simple', source: 'moved' } }),
    ];
    for (const change of changes)
      expect(verdictOnFill(change).problems).toMatchObject([{ kind: 'judgement' }]);
  });
});

describe('verify beside a station', () => {
  it('finds nothing wrong while the station goes on writing', { timeout: 30_000 }, async () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobs(store, 30);
    let finished = false;
    const check = runVerify({ folder, onProblem: (problem) => expect.fail(problem.sentence) }).finally(() => {
      finished = true;
    });
    for (let number = 100; !finished; number++) {
      writeInventedJobs(store, 1, number);
      await new Promise((resolve) => setImmediate(resolve));
    }
    const result = await check;
    expect(result?.intact).toBe(true);
    expect(result!.events).toBeLessThan(store.lastSequence());
  });

  it('stops when it is told to', async () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    writeInventedJobs(store, 1);
    expect(await runVerify({ folder, onProblem: () => undefined, signal: AbortSignal.abort() })).toBeNull();
  });

  it('says that there is nothing to check', async () => {
    await expect(runVerify({ folder: temporaryFolder(), onProblem: () => undefined })).rejects.toMatchObject({
      name: 'StoreFault',
      code: 'no_database',
    });
  });
});
