import type { Clock } from '../../drivers/port/clock.ts';
import { DemoTechnician } from '../../electron/station/demo-job.ts';
import { openLog } from '../../electron/station/log.ts';
import { Station } from '../../electron/station/station.ts';
import { loadDemoWorkshop } from '../../seeds/index.ts';
import type { JobState } from '../../shared/job/state.ts';

/**
 * A station with a technician who does one whole job after the other, on simulated instruments behind real
 * pseudo-terminals. Tells its parent where it resumes, and of every command after it returned. Killed by the parent.
 *
 * Words: data folder, wall time (ms) at which the clocks began, how many times faster than real they go.
 */
const [dataFolder = '', beginning = '', speed = '1'] = process.argv.slice(2);

/** A clock that goes faster, and that a restart does not set back: grease settles and hands pull in less time. */
function fastClock(): Clock {
  const begunAt = Number(beginning);
  const times = Number(speed);
  return {
    nowMilliseconds: () => performance.now() * times,
    wallTime: () => new Date(begunAt + (Date.now() - begunAt) * times).toISOString(),
  };
}

const station = await Station.open({
  dataFolder,
  log: openLog(dataFolder),
  clock: fastClock(),
  seed: Date.now() % 1_000_000,
});

/** What the parent is told of a job: enough to find it again, and where it stands. */
function standing(state: JobState) {
  const { jobId, version, currentStepId, phase } = state;
  return { jobId, version, stepId: currentStepId, phase };
}

const technician = new DemoTechnician(
  station,
  () => undefined,
  (state) => {
    const last = station.store.readStream(`job/${state.jobId}`, state.version).at(-1);
    process.send?.({ written: { ...standing(state), hash: last?.hash } });
  },
);

const open = station.jobs.openJobs();
process.send?.({ resumes: open.map(standing) });
for (const state of open) await technician.finishJob(state);

const { tools } = loadDemoWorkshop();
for (let number = station.store.countJobs({}); ; number++) {
  const tool = tools[number % tools.length];
  if (tool === undefined) throw new Error('the demo workshop has no tools');
  await technician.doJob(tool.serial, tool.headId);
}
