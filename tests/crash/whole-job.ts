import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { chanceOf } from '../../electron/station/audit/invented-job.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { type JobEvent, jobEventSchema } from '../../shared/job/event.ts';
import { fold } from '../../shared/job/fold.ts';
import type { JobState } from '../../shared/job/state.ts';
import { verdictOn } from '../station/audit/tampering.ts';

const standingSchema = z.object({
  jobId: z.string(),
  version: z.int(),
  stepId: z.string().nullable(),
  phase: z.string(),
});
const messageSchema = z.union([
  z.strictObject({ resumes: z.array(standingSchema) }),
  z.strictObject({ written: standingSchema.extend({ hash: z.string() }) }),
]);
type Standing = z.infer<typeof standingSchema>;
type Written = Extract<z.infer<typeof messageSchema>, { written: unknown }>['written'];

export interface KillReport {
  readonly kills: number;
  readonly commandsAcknowledged: number;
  readonly eventsOfJobs: number;
  readonly jobsReleased: number;
  /** Kills that hit a job in the middle, by the kind of the step that it stood at. */
  readonly hitAtStep: Readonly<Record<string, number>>;
  /** Kills that hit before the station had opened, or between two jobs. */
  readonly hitBetweenJobs: number;
  /** Commands that were on the disk though the kill came before they were told. */
  readonly writtenUntold: number;
  readonly verifiedIntact: number;
  /** What was wrong; empty is what this is about. */
  readonly wrong: readonly string[];
}

interface KillOptions {
  readonly kills: number;
  /** Everything random comes from it. */
  readonly seed: number;
  /** How many times faster than real the station's clocks go. */
  readonly speed: number;
  /** Verify after every so many kills, and at the end. */
  readonly verifyEvery: number;
  readonly say?: (line: string) => void;
}

/** Kills a station in the middle of whole jobs, again and again on the same data, and looks what is left each time. */
export async function killWholeJobs(options: KillOptions): Promise<KillReport> {
  const { kills, seed, speed, verifyEvery, say = () => undefined } = options;
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-whole-job-'));
  const begunAt = Date.now();
  const told: Written[] = [];
  const wrong: string[] = [];
  const hitAtStep: Record<string, number> = {};
  let hitBetweenJobs = 0;
  let writtenUntold = 0;
  let verifiedIntact = 0;

  function verify(when: string): void {
    const { intact, problems } = verdictOn(folder);
    if (intact) verifiedIntact += 1;
    else wrong.push(`${when}: not intact: ${problems.map(({ sentence }) => sentence).join('; ')}`);
  }

  try {
    let left: readonly Standing[] = [];
    for (let round = 0; round < kills; round++) {
      const words = [folder, String(begunAt), String(speed)];
      const run = await runAndKill(words, chooseMoment(seed, round));
      if (run.resumes !== null && JSON.stringify(run.resumes) !== JSON.stringify(left)) {
        wrong.push(`kill ${round}: resumed ${JSON.stringify(run.resumes)}, left ${JSON.stringify(left)}`);
      }
      told.push(...run.written);
      const found = lookAt(folder, told);
      wrong.push(...found.wrong.map((sentence) => `kill ${round}: ${sentence}`));
      left = found.open;
      const [hit] = left;
      if (hit === undefined) hitBetweenJobs += 1;
      else hitAtStep[hit.stepId ?? 'release'] = (hitAtStep[hit.stepId ?? 'release'] ?? 0) + 1;
      const lastTold = run.written.at(-1);
      if (lastTold !== undefined && hit !== undefined && hit.jobId === lastTold.jobId) {
        if (hit.version > lastTold.version) writtenUntold += 1;
        else if (hit.stepId !== lastTold.stepId) wrong.push(`kill ${round}: the step changed by itself`);
      }
      if ((round + 1) % verifyEvery === 0 || round === kills - 1) verify(`kill ${round}`);
      if ((round + 1) % 10 === 0) say(`${round + 1} kills, ${told.length} commands, ${wrong.length} wrong`);
    }
    const { events, released } = lookAt(folder, told);
    return {
      kills,
      commandsAcknowledged: told.length,
      eventsOfJobs: events,
      jobsReleased: released,
      hitAtStep,
      hitBetweenJobs,
      writtenUntold,
      verifiedIntact,
      wrong,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** When a kill comes: so many commands after the station is ready, and then a little later. */
interface Moment {
  readonly commands: number;
  readonly milliseconds: number;
}

/** Half of the kills come within milliseconds of a commit, half at any time, also while grease flows or a hand pulls. */
function chooseMoment(seed: number, round: number): Moment {
  const chance = (salt: number) => chanceOf(seed * 100_003 + round, salt);
  return chance(1) < 0.5
    ? { commands: 1 + Math.floor(chance(2) * 20), milliseconds: chance(3) * 4 }
    : { commands: Math.floor(chance(2) * 12), milliseconds: chance(3) * 900 };
}

interface KilledRun {
  /** Null when the kill came before it could tell. */
  readonly resumes: readonly Standing[] | null;
  readonly written: readonly Written[];
}

/** Lets the station work, and kills it at the moment chosen. */
async function runAndKill(words: readonly string[], moment: Moment): Promise<KilledRun> {
  const child = fork(join(import.meta.dirname, 'whole-job-worker.ts'), words, {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  let resumes: readonly Standing[] | null = null;
  const written: Written[] = [];
  const exited = new Promise<string | null>((resolve) => child.once('exit', (_, signal) => resolve(signal)));
  await new Promise<void>((resolve, reject) => {
    child.once('exit', () => reject(new Error('the station ended by itself')));
    child.on('message', (text) => {
      const message = messageSchema.parse(text);
      if ('resumes' in message) resumes = message.resumes;
      else written.push(message.written);
      if (written.length >= moment.commands) resolve();
    });
  });
  await wait(moment.milliseconds);
  kill(child);
  if ((await exited) !== 'SIGKILL') throw new Error('the station ended by itself');
  return { resumes, written };
}

function kill(child: ChildProcess): void {
  child.kill('SIGKILL');
}

/** What lies on the disk after a kill, compared with what was told. */
function lookAt(folder: string, told: readonly Written[]) {
  const evidence = openEvidence(folder);
  const wrong: string[] = [];
  let events = 0;
  let released = 0;
  const open: Standing[] = [];
  try {
    const jobs = evidence.findJobs({}, 0, 100_000);
    const byJob = Map.groupBy(told, ({ jobId }) => jobId);
    for (const jobId of byJob.keys()) {
      if (!jobs.some((job) => job.jobId === jobId)) wrong.push(`job ${jobId} was told of and is gone`);
    }
    const captures = new Set<string>();
    for (const { jobId } of jobs) {
      const stored = evidence.readStream(`job/${jobId}`);
      events += stored.length;
      for (const { version, hash } of byJob.get(jobId) ?? []) {
        if (stored[version - 1]?.hash !== hash) wrong.push(`job ${jobId}: event ${version} is missing`);
      }
      const happened = stored.map(({ body }) => jobEventSchema.parse(body));
      wrong.push(...doublesIn(happened, captures).map((double) => `job ${jobId}: ${double} twice`));
      const state = happened.reduce<JobState | undefined>(fold, undefined);
      const records = evidence.recordsOf(jobId).length;
      if (state?.phase === 'released') released += 1;
      if (records !== (state?.phase === 'released' ? 1 : 0)) wrong.push(`job ${jobId}: ${records} records`);
      if (state !== undefined && state.phase === 'open') {
        open.push({ jobId, version: state.version, stepId: state.currentStepId, phase: state.phase });
      }
      wrong.push(...lotsTakenWrongly(evidence.readStreams('lot/'), jobId, happened));
    }
    if (open.length > 1) wrong.push(`${open.length} jobs are open; the technician does one at a time`);
  } finally {
    evidence.close();
  }
  return { wrong, events, released, open };
}

/** Events that may happen once in a job, or once at a step, and did so more often. */
function doublesIn(events: readonly JobEvent[], captures: Set<string>): string[] {
  const seen = new Set<string>();
  const doubles: string[] = [];
  for (const event of events) {
    if (event.kind === 'measurementCaptured') {
      const { captureId, judgement } = event.capture;
      if (captures.has(captureId)) doubles.push(`capture ${captureId}`);
      captures.add(captureId);
      if (judgement.decision !== 'pass') continue;
    }
    // Weighed anew when the fill begins anew after a restart.
    if (event.kind === 'tareTaken') continue;
    const name = `${event.kind}${'stepId' in event ? ` of ${event.stepId}` : ''}`;
    if (seen.has(name)) doubles.push(name);
    seen.add(name);
  }
  return doubles;
}

/** Uses of lots are written in one transaction with the job's event: as many here as there. */
function lotsTakenWrongly(
  lots: readonly { readonly kind: string; readonly body: object }[],
  jobId: string,
  events: readonly JobEvent[],
): string[] {
  const uses = lots.filter(({ kind, body }) => kind === 'lotUsed' && 'jobId' in body && body.jobId === jobId);
  const named = events.flatMap((event) => (event.kind === 'consumableUsed' ? [event.stepId] : []));
  const weighed = events.flatMap((event) =>
    event.kind === 'measurementCaptured' && event.capture.quantity === 'mass' && named.length > 0
      ? [event.stepId]
      : [],
  );
  const taken = uses.map(({ body }) => ('stepId' in body ? String(body.stepId) : ''));
  const expected = [...named, ...weighed].sort().join();
  return taken.sort().join() === expected ? [] : [`job ${jobId}: lots used at ${taken}, not at ${expected}`];
}

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      rounds: { type: 'string', default: '200' },
      seed: { type: 'string', default: '1' },
      speed: { type: 'string', default: '6' },
    },
  });
  const report = await killWholeJobs({
    kills: Number(values.rounds),
    seed: Number(values.seed),
    speed: Number(values.speed),
    verifyEvery: 10,
    say: (line) => process.stderr.write(`${line}\n`),
  });
  process.stdout.write(`${JSON.stringify(report, undefined, 2)}\n`);
  process.exitCode = report.wrong.length === 0 ? 0 : 1;
}
