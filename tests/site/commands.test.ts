import { chmodSync, existsSync, readFileSync, statSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { bandwright } from '../station/commands/running.ts';
import { writeInventedJobs, writeInventedJobsAtOnce } from '../station/store/bench.ts';
import { SiteBench, withStore } from './site-bench.ts';

let site: SiteBench;
beforeAll(async () => {
  site = await SiteBench.start();
});
afterAll(() => site.end());

/** The command line with the site options of a login. */
function asked(login: string, ...words: string[]) {
  return bandwright([...words, '--site', site.url(login), '--password-file', site.passwordFile(login)]);
}

describe('the command line at a site', () => {
  it('adds a bench, lets a data folder join, pushes, and answers for a serial, a search and a check', async () => {
    const password = site.stationFolder('bench-7.password');
    expect(await asked('site_administrator', 'site', 'set-up', '--json')).toMatchObject({ code: 0 });
    expect(
      await asked('site_administrator', 'site', 'add-bench', 'bench-7', '--out', password),
    ).toMatchObject({ code: 0 });
    expect(statSync(password).mode & 0o777).toBe(0o600);

    const folder = site.stationFolder('seven');
    withStore(folder, (store) => writeInventedJobs(store, 3));
    const join = [
      'site',
      'join',
      '--data',
      folder,
      '--site',
      site.url('bench-7'),
      '--password-file',
      password,
    ];
    expect(await bandwright(join)).toMatchObject({ code: 0 });
    expect(readFileSync(`${folder}/site.json`, 'utf8')).not.toContain(readFileSync(password, 'utf8').trim());
    const pushed = await bandwright(['site', 'push', '--data', folder, '--json']);
    expect([pushed.code, JSON.parse(pushed.out)]).toMatchObject([0, { state: 'up_to_date' }]);
    const status = await bandwright(['site', 'status', '--data', folder]);
    expect([status.code, status.out]).toEqual([0, expect.stringContaining('is at the site')]);

    const serial = JSON.parse((await asked('auditor', 'serial', inventedSerial(2), '--json')).out);
    expect(serial.visits).toMatchObject([
      { benchId: 'bench-7', stationId: 'station-of-seven', leftBehind: false },
    ]);
    expect(serial.visits[0].captures).toHaveLength(2);
    const search = JSON.parse(
      (await asked('auditor', 'site', 'search', '--json', '--instrument', 'scale-1', '--quantity', 'mass'))
        .out,
    );
    expect(search.jobs).toHaveLength(3);
    const none = JSON.parse(
      (await asked('auditor', 'site', 'search', '--json', '--decision', 'fail', '--until', '2020-01-01')).out,
    );
    expect(none.jobs).toEqual([]);
    const verified = await asked('auditor', 'verify', '--json', '--station', 'station-of-seven');
    expect([verified.code, JSON.parse(verified.out)]).toMatchObject([
      0,
      { intact: true, chains: [{ benchId: 'bench-7', problemCount: 0 }] },
    ]);
    expect(await bandwright(['site', 'leave', '--data', folder])).toMatchObject({ code: 0 });
    expect(existsSync(`${folder}/site.json`)).toBe(false);
  }, 120_000);

  it('lets a station that was restored go on once a person has decided, and publishes what a data folder has', async () => {
    const { backup } = await site.forkStation('nine', 'bench-9', 91);
    await site.addReader('publisher', 'publisher');
    const join = ['--site', site.url('bench-9'), '--password-file', site.passwordFile('bench-9')];
    await bandwright(['site', 'join', '--data', backup, ...join]);
    const stopped = await bandwright(['site', 'push', '--data', backup]);
    expect(stopped.code).toBe(1);
    const [, words = ''] = /: (site settle .*)$/m.exec(stopped.out) ?? [];
    expect(words).toMatch(/^site settle --station station-of-nine --after \d+$/);
    expect(await bandwright(['doctor', '--data', backup])).toMatchObject({
      out: expect.stringContaining('STOPPED, fork'),
    });

    const decision = [
      ...words.split(' '),
      '--bench',
      'bench-9',
      '--person',
      'Anna Quill',
      '--reason',
      'the disk died',
    ];
    expect(await asked('site_administrator', ...decision)).toMatchObject({ code: 0 });
    expect(await bandwright(['site', 'push', '--data', backup])).toMatchObject({ code: 0 });
    const verified = JSON.parse(
      (await asked('auditor', 'verify', '--json', '--station', 'station-of-nine')).out,
    );
    expect([verified.intact, verified.chains.length]).toEqual([true, 2]);

    const key = site.stationFolder('site-key.pem');
    expect(await bandwright(['site', 'key', '--out', key])).toMatchObject({ code: 0 });
    const refused = await bandwright(['site', 'join', '--data', backup, ...join, '--site-key', key]);
    expect([refused.code, refused.error]).toEqual([2, expect.stringContaining('--site-key:')]);
    expect(
      await bandwright(['site', 'join', '--data', backup, ...join, '--site-key', `${key}.public`]),
    ).toMatchObject({ code: 0 });
    const publish = ['site', 'publish', 'person', 'nobody', '--key', key, '--data', backup];
    expect(await asked('publisher', ...publish)).toMatchObject({
      code: 2,
      error: expect.stringContaining('is nobody here'),
    });
  }, 180_000);

  it('answers about one station from a copy of its chain as the station itself does, and exports across benches', async () => {
    const folders = ['first', 'second'].map((name) => site.stationFolder(name));
    for (const [index, folder] of folders.entries()) {
      await site.addBench(`bench-of-${index}`);
      withStore(folder, (store) => writeInventedJobsAtOnce(store, 4, 201 + index * 2));
      await site.push(folder, `bench-of-${index}`);
    }
    const [first = ''] = folders;
    const station = ['--station', 'station-of-first'];
    for (const words of [
      ['chart', '--quantity', 'mass', '--json'],
      ['export', 'jsonl'],
      ['lot', 'lot-1', '--json'],
    ]) {
      const here = await bandwright([...words, '--data', first]);
      const there = await asked('auditor', ...words, ...station);
      expect([there.code, there.out, there.error], words.join(' ')).toEqual([
        here.code,
        here.out,
        here.error,
      ]);
      expect(here.out.length).toBeGreaterThan(100);
    }
    const bundle = site.stationFolder('bundle');
    expect(await asked('auditor', 'export', 'bundle', '--out', bundle, ...station)).toMatchObject({
      code: 0,
    });
    expect(existsSync(`${bundle}/verify.mjs`)).toBe(true);

    // Jobs 203 and 204 were done at both.
    const serial = inventedSerial(203);
    const { out } = await asked('auditor', 'export', 'csv', '--serial', serial);
    const benches = out
      .trim()
      .split('\r\n')
      .slice(1)
      .map((line) => line.split(',')[0]);
    expect(new Set(benches)).toEqual(new Set(['bench-of-0', 'bench-of-1']));
    const file = site.stationFolder('history.pdf');
    expect(await asked('auditor', 'document', serial, '--out', file)).toMatchObject({ code: 0 });
    expect(readFileSync(file).subarray(0, 5).toString()).toBe('%PDF-');

    // The lot was used at both benches.
    const traced = await asked('auditor', 'lot', 'lot-1', '--json');
    const ofFirst = JSON.parse((await bandwright(['lot', 'lot-1', '--json', '--data', first])).out);
    const { benches: tracedAt } = JSON.parse(traced.out);
    expect(tracedAt.map((one: { benchId: string }) => one.benchId)).toEqual(
      expect.arrayContaining(['bench-of-0', 'bench-of-1']),
    );
    expect(tracedAt.find((one: { benchId: string }) => one.benchId === 'bench-of-0')).toMatchObject({
      ...{ lot: ofFirst.lot, jobs: ofFirst.jobs },
    });
    expect(await asked('auditor', 'lot', 'none-such')).toMatchObject({
      code: 2,
      error: expect.stringContaining('was never here'),
    });
    expect(await asked('auditor', 'chart', '--quantity', 'mass')).toMatchObject({
      code: 2,
      error: expect.stringContaining('--station: missing'),
    });
    expect(await asked('auditor', 'lot', 'lot-1', '--station', 'none')).toMatchObject({
      code: 2,
      error: expect.stringContaining('the site has no station "none"'),
    });
    expect(await bandwright(['chart', ...station])).toMatchObject({
      code: 2,
      error: expect.stringContaining('belongs to --site'),
    });
  }, 180_000);

  it('says on one line what is wrong, and never the password', async () => {
    const open = site.stationFolder('open.password');
    await asked('site_administrator', 'site', 'add-bench', 'bench-8', '--out', open);
    const secret = readFileSync(open, 'utf8').trim();
    chmodSync(open, 0o644);
    const url = site.url('bench-8');
    const wrong: readonly (readonly [string[], RegExp])[] = [
      [['site', 'search', '--site', url, '--password-file', open], /--password-file: others may read/],
      [['site', 'search', '--site', url.replace('bench-8', `bench-8:${secret}`)], /--site: holds a password/],
      [
        ['site', 'search', '--site', `${url}?sslmode=disable`, '--password-file', open],
        /--site: ends with options/,
      ],
      [
        ['site', 'search', '--site', url, '--password-file', site.passwordFile('auditor')],
        /does not let this login in/,
      ],
      [['site', 'search', '--site', url.replace(/:\d+/, ':1')], /cannot be reached/],
      [
        ['site', 'set-up', '--site', site.url('auditor'), '--password-file', site.passwordFile('auditor')],
        /may not do that/,
      ],
      [['site', 'push', '--data', site.stationFolder('nothing')], /pushes to no site/],
    ];
    for (const [words, said] of wrong) {
      const { code, out, error } = await bandwright(words);
      expect([code, out, error.trim().split('\n').length], words.join(' ')).toEqual([2, '', 1]);
      expect(error).toMatch(said);
      expect(error).not.toContain(secret);
    }
  }, 120_000);
});
