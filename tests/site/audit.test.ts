import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedJob, inventedSerial } from '../../electron/station/audit/invented-job.ts';
import type { Problem } from '../../electron/station/audit/problem.ts';
import { readVisits, visitAsJson } from '../../electron/station/audit/timeline.ts';
import { readChains } from '../../electron/station/site/site-rows.ts';
import { readSiteVisits } from '../../electron/station/site/site-serial.ts';
import { verifyAtSite } from '../../electron/station/site/site-verify.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { appendJobEvents, writeInventedJobs } from '../station/store/bench.ts';
import { SiteBench, withChain, withStore } from './site-bench.ts';

let site: SiteBench;
beforeAll(async () => {
  site = await SiteBench.start();
});
afterAll(() => site.end());

async function verify(
  stationId: string,
  branch?: number,
): Promise<{ intact: boolean; events: number; problems: Problem[] }> {
  const problems: Problem[] = [];
  const result = await site.as('auditor', async (client) => {
    const chains = await readChains(client, [stationId]);
    const chosen = chains.find((chain) => branch === undefined || chain.branch === branch)!;
    return verifyAtSite(client, {
      chains,
      branch: chosen,
      trustedKeys: [],
      threads: 2,
      onProblem: (problem) => problems.push(problem),
    });
  });
  if (result === null) throw new Error('nobody stopped it');
  return { intact: result.intact, events: result.events, problems };
}

describe('from the site store alone', () => {
  it('verifies a whole chain, and names what somebody altered in the database', async () => {
    await site.addBench('bench-1');
    const folder = site.stationFolder('one');
    withStore(folder, (store) => writeInventedJobs(store, 3));
    await site.push(folder, 'bench-1');
    const end = withChain(folder, (chain) => chain.end());
    expect(await verify('station-of-one')).toEqual({ intact: true, events: end, problems: [] });

    // Who owns the server takes the guards away.
    await site.asAdministrator(async (client) => {
      await client.query("SET session_replication_role = 'replica'");
      await client.query(
        'UPDATE bandwright.event SET body = replace(body, \'"decision":"pass"\', \'"decision":"fail"\') WHERE kind = \'measurementCaptured\' AND sequence < 12',
      );
      await client.query("UPDATE bandwright.capture SET decision = 'fail' WHERE sequence > 20");
    });
    const altered = await verify('station-of-one');
    expect(altered.intact).toBe(false);
    expect(new Set(altered.problems.map(({ kind }) => kind))).toEqual(new Set(['altered', 'index']));

    await site.asAdministrator(async (client) => {
      await client.query("SET session_replication_role = 'replica'");
      for (const table of ['event', 'seal', 'record'])
        await client.query(`DELETE FROM bandwright.${table} WHERE sequence > $1`, [end - 3]);
    });
    expect((await verify('station-of-one')).problems.map(({ kind }) => kind)).toContain('truncated');
  });

  it('shows a serial across benches in one timeline, as each bench tells it', async () => {
    const folders = ['two', 'three'].map((name) => site.stationFolder(name));
    for (const [index, folder] of folders.entries()) {
      await site.addBench(`bench-of-${index}`);
      // The same invented job at both benches, and one more at the second.
      withStore(folder, (store) => writeInventedJobs(store, 1 + index));
      await site.push(folder, `bench-of-${index}`);
    }
    const serial = inventedSerial(1);
    const { visits } = await site.as('auditor', (client) => readSiteVisits(client, serial));
    expect(visits.map(({ benchId, isLeftBehind }) => [benchId, isLeftBehind]).slice(-2)).toEqual([
      ['bench-of-0', false],
      ['bench-of-1', false],
    ]);
    const own = folders.map((folder) => {
      const evidence = openEvidence(folder);
      const told = readVisits(evidence, serial).map((visit) => visitAsJson(evidence, visit));
      evidence.close();
      return told;
    });
    const told = visits.filter(({ benchId }) => benchId.startsWith('bench-of-'));
    expect(told.map(({ reader, visit }) => visitAsJson(reader, visit))).toEqual(own.flat());
  });

  it('tells visits that lie years apart, also those beyond the partitions, one or several at a time', async () => {
    await site.addBench('bench-of-years');
    const folder = site.stationFolder('years');
    const days = ['2026-03-02', '2026-03-30', '2026-11-05', '2031-05-20'];
    withStore(folder, (store) => {
      const references = putInventedDocuments(store);
      for (const [index, day] of days.entries()) {
        const events = inventedJob(801 + index, Date.parse(`${day}T08:00:00Z`), references);
        // The first one came once, the others are one serial.
        const serial = index === 0 ? 'INV-once' : 'INV-often';
        const told = events.map((event) => (event.kind === 'jobOpened' ? { ...event, serial } : event));
        appendJobEvents(store, told);
      }
    });
    await site.push(folder, 'bench-of-years');
    const evidence = openEvidence(folder);
    for (const serial of ['INV-once', 'INV-often', 'INV-once', 'INV-never']) {
      const here = await site.as('auditor', async (client) => {
        const { visits, close } = await readSiteVisits(client, serial);
        const told = visits.map(({ reader, visit }) => visitAsJson(reader, visit));
        close();
        return told;
      });
      expect(here, serial).toEqual(readVisits(evidence, serial).map((visit) => visitAsJson(evidence, visit)));
    }
    evidence.close();
    expect(await site.count('SELECT count(*) FROM bandwright.event_else')).toBeGreaterThan(0);
  });

  it('verifies each branch of a fork, and shows what only the older one has as left behind', async () => {
    const { backup, common } = await site.forkStation('four', 'bench-4', 41);
    await site.settle('bench-4', 'station-of-four', common);
    await site.push(backup, 'bench-4');
    for (const branch of [1, 2])
      expect(await verify('station-of-four', branch)).toMatchObject({ intact: true, problems: [] });
    const shown = await Promise.all(
      [41, 42, 43].map(async (number) => {
        const { visits } = await site.as('auditor', (client) =>
          readSiteVisits(client, inventedSerial(number)),
        );
        return visits.map(({ branch, isLeftBehind }) => [branch, isLeftBehind]);
      }),
    );
    expect(shown).toEqual([[[2, false]], [[1, true]], [[2, false]]]);
  });
});
