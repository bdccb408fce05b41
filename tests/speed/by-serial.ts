import { chanceOf, inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { buildTimeline } from '../../electron/station/audit/timeline-view.ts';
import { openDatabaseToRead } from '../../electron/station/store/database.ts';
import { createEvidenceReader } from '../../electron/station/store/evidence-reader.ts';
import { inventedEvidence } from './invented-evidence.ts';
import { median, type Row, rowOf, timed } from './row.ts';

const runs = 5;
const lookupsARun = 400;

/** How long every captured reading of a serial takes, against the bare indexed SELECT of the same rows. */
export function bySerialRows(sizes: readonly number[], say: (line: string) => void): Row[] {
  const rows: Row[] = [];
  const middles: number[] = [];
  for (const size of sizes) {
    const { ours, bare } = lookUp(inventedEvidence(size, say), size);
    middles.push(median(ours));
    rows.push(
      rowOf(
        {
          name: `by serial among ${size.toLocaleString('en').replaceAll(',', ' ')} jobs, p50`,
          unit: 'ms',
          kind: 'cost',
          aim: 2,
          baseline: 'indexed SELECT of the same rows',
        },
        ours,
        bare,
      ),
    );
  }
  const [first, last] = [middles[0], middles.at(-1)];
  if (sizes.length > 1 && first !== undefined && last !== undefined) {
    rows.push({
      name: `by serial, growth ${sizes[0]} → ${sizes.at(-1)} jobs`,
      unit: 'ms',
      kind: 'cost',
      aim: 1.5,
      baseline: 'ours at the smallest number of jobs',
      ours: last,
      bare: first,
      runs,
    });
  }
  return rows;
}

/** Medians of the lookups, one for each run. */
function lookUp(folder: string, size: number): { ours: number[]; bare: number[] } {
  const database = openDatabaseToRead(folder);
  const reader = createEvidenceReader(database);
  const select = database.prepare(
    `SELECT event.* FROM job JOIN event ON event.stream = 'job/' || job.job_id WHERE job.serial = ? ORDER BY event.sequence`,
  );
  const record = database.prepare('SELECT hash FROM record WHERE serial = ? ORDER BY sequence');
  const ours: number[] = [];
  const bare: number[] = [];
  for (let run = -1; run < runs; run += 1) {
    const timeline: number[] = [];
    const rows: number[] = [];
    for (let round = 0; round < lookupsARun; round += 1) {
      const serial = inventedSerial(1 + Math.floor(chanceOf(round + run * lookupsARun, size) * size));
      const view = () => buildTimeline(reader, serial, (personId) => personId);
      const read = () => {
        select.all(serial);
        record.all(serial);
      };
      // Which comes first finds the pages cold: by turns.
      if (round % 2 === 0) timeline.push(timed(view));
      rows.push(timed(read));
      if (round % 2 === 1) timeline.push(timed(view));
    }
    if (run < 0) continue;
    ours.push(median(timeline));
    bare.push(median(rows));
  }
  database.close();
  return { ours, bare };
}
