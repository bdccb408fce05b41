import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { AuditDesk } from '../../../electron/station/audit/audit-desk.ts';
import { SavedViews } from '../../../electron/station/audit/saved-views.ts';
import { tarOfFolder } from '../../../electron/station/audit/tar.ts';
import type { AuditFilter, ExportWish } from '../../../shared/audit/filter.ts';
import { mostSavedViews } from '../../../shared/audit/filter.ts';
import type { ExportProgress } from '../../../shared/audit/view.ts';
import { temporaryFolder } from '../store/bench.ts';
import { buildEvidence } from './tampering.ts';

function deskOn(closed = 2): AuditDesk & { folder: string } {
  const folder = temporaryFolder();
  buildEvidence(folder, closed);
  const desk = new AuditDesk({
    dataFolder: folder,
    wallTime: () => '2026-03-02T12:00:00.000+01:00',
    onBug: (error) => {
      throw error;
    },
  });
  onTestFinished(() => desk.close());
  return Object.assign(desk, { folder });
}

/** Starts an export and waits for its end. */
async function exported(
  desk: AuditDesk,
  wish: Pick<ExportWish, 'format'> & { filter?: AuditFilter; language?: 'en' | 'de' },
): Promise<ExportProgress> {
  const { format, filter = {}, language = 'en' } = wish;
  return new Promise((resolve, reject) => {
    desk
      .startExport('flint', { format, filter, language }, (progress) => {
        if (progress.state !== 'running') resolve(progress);
      })
      .then((started) => {
        if (!started.ok) reject(new Error(started.error.code));
      });
  });
}

describe('an export that a screen asks for', () => {
  it('is whole when it is ready, for whoever asked and nobody else', async () => {
    const desk = deskOn();
    const progress = await exported(desk, { format: 'csv', filter: { quantity: 'torque' }, language: 'de' });
    expect(progress).toMatchObject({ state: 'ready', omitted: 0, done: 2, total: 2 });
    expect(progress.url).toBe(`/exports/${progress.exportId}/bandwright-20260302T120000-readings.csv`);
    const ready = desk.exports.find('flint', progress.exportId)!;
    const lines = readFileSync(ready.path, 'utf8').trimEnd().split('\r\n');
    expect(lines).toHaveLength(3);
    expect(lines[1]).toMatch(/;torque;1;\d+,\d+;N\.m;pass;/);
    expect(desk.exports.find('dune', progress.exportId)).toBeUndefined();
  });

  it('refuses a second one meanwhile, and stops when told to, leaving nothing', async () => {
    const desk = deskOn(30);
    const told: ExportProgress[] = [];
    const wish = { format: 'jsonl', filter: {}, language: 'en' } as const;
    const started = await desk.startExport('flint', wish, (progress) => told.push(progress));
    if (!started.ok) throw new Error(started.error.code);
    expect(await desk.startExport('cedar', wish, () => undefined)).toMatchObject({
      ok: false,
      error: { code: 'export_running' },
    });
    const { exportId } = started.value;
    expect(desk.exports.stop('cedar', exportId)).toMatchObject({
      ok: false,
      error: { code: 'no_such_export' },
    });
    expect(desk.exports.stop('flint', exportId)).toMatchObject({ ok: true });
    await expect.poll(() => told.at(-1)?.state).toBe('stopped');
    expect(readdirSync(join(desk.folder, 'exports'))).toEqual([]);
    expect((await exported(desk, { format: 'csv' })).state).toBe('ready');
  });

  it('keeps the newest three, and none when the station ends', async () => {
    const desk = deskOn(1);
    const ids: string[] = [];
    for (let round = 0; round < 4; round++) ids.push((await exported(desk, { format: 'csv' })).exportId);
    expect(desk.exports.find('flint', ids[0]!)).toBeUndefined();
    expect(readdirSync(join(desk.folder, 'exports')).sort()).toEqual(ids.slice(1).sort());
    await desk.close();
    expect(existsSync(join(desk.folder, 'exports'))).toBe(false);
  });

  it('gives a bundle as an archive that tar unpacks and its own verifier finds intact', async () => {
    const desk = deskOn();
    const { exportId } = await exported(desk, { format: 'bundle' });
    const ready = desk.exports.find('flint', exportId)!;
    const out = temporaryFolder();
    const archive = tarOfFolder(ready.path, 'bundle');
    const pieces: Buffer[] = [];
    for await (const piece of archive.chunks()) pieces.push(piece);
    const whole = Buffer.concat(pieces);
    expect(whole.length).toBe(archive.bytes);
    writeFileSync(join(out, 'bundle.tar'), whole);
    execFileSync('tar', ['-xf', 'bundle.tar'], { cwd: out });
    for (const name of readdirSync(ready.path)) {
      expect(readFileSync(join(out, 'bundle', name)).equals(readFileSync(join(ready.path, name)))).toBe(true);
    }
    const { status, stdout } = spawnSync(process.execPath, [join(out, 'bundle', 'verify.mjs')], {
      encoding: 'utf8',
      env: {},
    });
    expect([status, stdout.split('\n')[0]]).toEqual([0, expect.stringMatching(/^intact: 2 records/)]);
  });

  it('names the certificate that it cannot find', async () => {
    const desk = deskOn(1);
    await expect(exported(desk, { format: 'csv', filter: { certificate: 'none' } })).rejects.toThrow(
      'certificate_unknown',
    );
  });
});

describe('an archive of a folder', () => {
  it('takes empty files and sizes about its blocks of 512 bytes', async () => {
    const folder = join(temporaryFolder(), 'in');
    mkdirSync(folder);
    for (const size of [0, 1, 511, 512, 513, 1024])
      writeFileSync(join(folder, `${size}.bin`), 'x'.repeat(size));
    const pieces: Buffer[] = [];
    for await (const piece of tarOfFolder(folder, 'in').chunks()) pieces.push(piece);
    const listed = spawnSync('tar', ['-tvf', '-'], { input: Buffer.concat(pieces), encoding: 'utf8' });
    expect(listed.stderr).toBe('');
    expect(
      listed.stdout
        .trim()
        .split('\n')
        .map((line) => line.split(/\s+/)[2]),
    ).toEqual(['0', '1', '1024', '511', '512', '513']);
  });
});

describe('an archive of a folder with folders', () => {
  it('keeps their names, also long ones', async () => {
    const folder = temporaryFolder();
    const names = [`bench-${'x'.repeat(74)}-12/documents.jsonl`, 'bench-2/a.txt', 'top.txt'];
    for (const name of names) {
      mkdirSync(join(folder, name, '..'), { recursive: true });
      writeFileSync(join(folder, name), name);
    }
    const pieces: Buffer[] = [];
    for await (const piece of tarOfFolder(folder, 'bandwright-20261127T100000').chunks()) pieces.push(piece);
    const out = temporaryFolder();
    execFileSync('tar', ['-xf', '-'], { cwd: out, input: Buffer.concat(pieces) });
    for (const name of names)
      expect(readFileSync(join(out, 'bandwright-20261127T100000', name), 'utf8')).toBe(name);
  });
});

describe('saved views', () => {
  it('follow the person over a restart, and are nobody else’s', () => {
    const folder = temporaryFolder();
    const views = new SavedViews(folder);
    views.save('flint', { name: 'Failed', filter: { decision: 'fail' } });
    views.save('flint', { name: 'Amber', filter: { personId: 'amber' } });
    views.save('flint', { name: 'Failed', filter: { decision: 'fail', quantity: 'torque' } });
    const again = new SavedViews(folder);
    expect(again.of('flint')).toEqual([
      { name: 'Amber', filter: { personId: 'amber' } },
      { name: 'Failed', filter: { decision: 'fail', quantity: 'torque' } },
    ]);
    expect(again.of('cedar')).toEqual([]);
    expect(again.remove('flint', 'Amber').map(({ name }) => name)).toEqual(['Failed']);
  });

  it('are bounded, and a damaged file only means making them again', () => {
    const folder = temporaryFolder();
    const views = new SavedViews(folder);
    for (let number = 0; number < mostSavedViews; number++) {
      expect(views.save('flint', { name: `view ${number}`, filter: {} }).ok).toBe(true);
    }
    expect(views.save('flint', { name: 'one more', filter: {} })).toMatchObject({
      ok: false,
      error: { code: 'views_full' },
    });
    expect(views.save('flint', { name: 'view 7', filter: { serial: 'A' } }).ok).toBe(true);
    writeFileSync(join(folder, 'saved-views.json'), '{"flint":[{"name":7}]}');
    expect(new SavedViews(folder).of('flint')).toEqual([]);
  });
});
