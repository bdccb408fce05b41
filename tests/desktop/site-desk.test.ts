import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import type { Store } from '../../electron/station/store/store.ts';
import type { LotEvent } from '../../shared/consumable/lot.ts';
import { SiteBench, withStore } from '../site/site-bench.ts';
import {
  foundCertificate,
  foundHash,
  goodCertificate,
  wrenchCertified,
  wrenchRegistered,
} from '../station/invented-wrench.ts';
import { writeInventedJobsAtOnce } from '../station/store/bench.ts';
import { axeFindings } from './axe.ts';
import { launchBench, projectFolder, startSiteDesk } from './bench-window.ts';
import { patience, ScreenKeyboard } from './screen-keyboard.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;

let site: SiteBench;
let desk: Awaited<ReturnType<typeof startSiteDesk>>;
let page: Page;
let keys: ScreenKeyboard;

beforeAll(async () => {
  mkdirSync(artifacts, { recursive: true });
  site = await SiteBench.start();
  for (const [index, name] of ['one', 'two'].entries()) {
    await site.addBench(`bench-${name}`);
    const folder = site.stationFolder(name);
    withStore(folder, (store) => {
      registerWrench(store);
      const [job = ''] = writeInventedJobsAtOnce(store, 30, 1 + index * 6);
      if (name === 'two') receiveLot(store, job);
    });
    await site.push(folder, `bench-${name}`);
  }
  desk = await startSiteDesk(wordsOf('auditor'));
  page = desk.page;
  keys = new ScreenKeyboard(page);
  await page.setViewportSize({ width: 1366, height: 768 });
}, 240_000);

afterAll(async () => {
  await desk?.close();
  await site?.end();
});

/** The wrench of both benches, which its second calibration found out of tolerance. */
function registerWrench(store: Store): void {
  const events = [
    wrenchRegistered({ kind: 'relative', fraction: 0.01 }),
    wrenchCertified(goodCertificate('2026-01-05'), putInventedDocuments(store).wrenchCertificateHash),
    wrenchCertified(foundCertificate('2026-04-01'), foundHash),
  ];
  const kept = store.append({
    ...{ stream: 'instrument/wrench-1', expectedVersion: 0, personId: 'cedar' },
    events: events.map((event) => ({ kind: event.kind, body: event })),
  });
  if (!kept.ok) throw new Error(kept.error.message);
}

/** The lot of all these jobs, as far as the stock of a bench counted it. */
function receiveLot(store: Store, jobId: string): void {
  const about = { lotId: 'lot-1', at: '2026-03-01T08:00:00.000Z', personId: 'cedar' };
  const events: LotEvent[] = [
    {
      ...{ kind: 'lotReceived', ...about, consumableId: 'grease', name: { en: 'Grease', de: 'Fett' } },
      ...{ expiry: '2027-12-31', quantity: 400, unit: 'g', usableDaysAfterOpening: null, invented: true },
    },
    { kind: 'lotOpened', ...about },
    { kind: 'lotUsed', ...about, jobId, stepId: 'grease', quantity: 12.5 },
    { kind: 'lotBlocked', ...about, reason: 'wrong label' },
  ];
  const kept = store.append({
    ...{ stream: 'lot/lot-1', expectedVersion: 0, personId: 'cedar' },
    events: events.map((event) => ({ kind: event.kind, body: event })),
  });
  if (!kept.ok) throw new Error(kept.error.message);
}

function wordsOf(login: string): readonly string[] {
  return ['--site', site.url(login), '--password-file', site.passwordFile(login)];
}

/** Over what stands in the field. */
async function lookUp(serial: string): Promise<void> {
  await page.getByTestId('audit-serial').press('Control+A');
  await keys.scan(serial);
}

async function shot(name: string): Promise<void> {
  await page.screenshot({ path: `${artifacts}/site-desk-${name}.png` });
}

describe('the desk of a site, by keyboard alone', () => {
  test('shows a serial across benches, each visit with its bench', async () => {
    await keys.see('[data-testid=audit-serial]:focus');
    await keys.scan(inventedSerial(8));
    await keys.see('[data-testid=timeline]');
    const places = await page.getByTestId('visit-place').allTextContents();
    expect(new Set(places)).toEqual(new Set(['bench-one', 'bench-two']));
    expect(await axeFindings(page)).toEqual([]);
    await shot('serial');
  });

  test('finds jobs of all benches', async () => {
    await keys.press('F4');
    await keys.see('[data-testid=filter-serial]:focus');
    await keys.press('Enter');
    await expect.poll(() => page.locator('.found-jobs tbody tr').count(), patience).toBe(50);
    expect(await axeFindings(page)).toEqual([]);
    await shot('search');
  });

  test('verifies the chain that was chosen, from the site store alone', async () => {
    await keys.press('F8');
    await keys.see('.chains input:focus');
    await keys.press('Enter');
    await expect
      .poll(() => page.locator('.page-foot').textContent(), patience)
      .toContain('Choose whose chain');
    await keys.press('ArrowDown');
    await keys.press('Enter');
    await keys.see('[data-testid=verify] .is-pass');
    expect(await page.getByTestId('verified-chain').textContent()).toContain('bench-two');
    expect(await axeFindings(page)).toEqual([]);
    await shot('stations');
  });

  test('charts the bench that was chosen, and asks for one', async () => {
    await keys.press('F5');
    await keys.see('[data-testid=filter-station]');
    await keys.press('Enter');
    await expect.poll(() => page.locator('.page-foot').textContent(), patience).toContain('Choose the bench');
    await page.getByTestId('filter-station').focus();
    await keys.press('ArrowDown');
    await keys.press('Enter');
    await keys.see('[data-testid=process-chart]');
    expect(await page.locator('[data-testid=process-chart] h2').textContent()).toBe('Fill: bench-one');
    expect(await axeFindings(page)).toEqual([]);
    await shot('charts');
    await page.getByTestId('filter-station').focus();
    await keys.press('ArrowDown');
    // What was drawn was of the other bench.
    await expect.poll(() => page.getByTestId('process-chart').count(), patience).toBe(0);
  });

  test('judges an instrument again at every bench that used it', async () => {
    await keys.press('Shift+F6');
    await keys.see('[data-testid=filter-station]:focus');
    await page.getByTestId('filter-impactInstrument').focus();
    await expect.poll(() => page.locator('[data-testid=filter-impactInstrument] option').count()).toBe(2);
    await keys.press('ArrowDown');
    await keys.press('Enter');
    await keys.see('[data-testid=impact-stations]');
    const rows = await page.locator('[data-testid=impact-stations] tbody tr').allTextContents();
    expect(rows).toEqual([expect.stringMatching(/^bench-one30/), expect.stringMatching(/^bench-two30/)]);
    const [file] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    expect(file.suggestedFilename()).toMatch(/impact\.csv$/);
    expect(await axeFindings(page)).toEqual([]);
    await shot('impact');
  });

  test('makes the signed bundle of a serial', async () => {
    await keys.press('F6');
    await page.getByTestId('format-bundle').check();
    await keys.press('Enter');
    await expect.poll(() => page.locator('.page-foot').textContent(), patience).toContain('Give the serial');
    await page.getByTestId('filter-serial').fill(inventedSerial(8));
    await keys.press('Enter');
    await keys.see('[data-testid=export-progress][data-state=ready]');
    const [file] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    const names = execFileSync('tar', ['-tf', await file.path()], { encoding: 'utf8' });
    expect(names).toMatch(/\/bench-one-\d+\/verify\.mjs/);
    expect(names).toMatch(/\/bench-two-\d+\/verify\.mjs/);
    expect(await axeFindings(page)).toEqual([]);
    await shot('bundle');
    await page.getByTestId('filter-serial').fill('');
  });

  test('makes the signed bundle of a whole chain', async () => {
    await keys.press('F6');
    await page.getByTestId('format-bundle').check();
    await page.getByTestId('filter-bundleChain').focus();
    await expect.poll(() => page.locator('[data-testid=filter-bundleChain] option').count()).toBe(3);
    await keys.press('ArrowDown');
    await keys.press('ArrowDown');
    await expect.poll(() => page.getByTestId('filter-serial').count()).toBe(0);
    await keys.press('Enter');
    await keys.see('[data-testid=export-progress][data-state=ready]');
    await shot('bundle-chain');
    const [file] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    const names = execFileSync('tar', ['-tf', await file.path()], { encoding: 'utf8' });
    expect(names).toMatch(/\/seals\.jsonl/);
    const records = execFileSync('tar', ['-xOf', await file.path(), '--wildcards', '*/records.jsonl']);
    expect(records.toString().trim().split('\n').length).toBe(30);
    expect(await axeFindings(page)).toEqual([]);
  });

  test('traces a lot to the jobs of all benches', async () => {
    await keys.press('Shift+F7');
    await keys.see('[data-testid=filter-lotId]:focus');
    await keys.press('Enter');
    await expect.poll(() => page.locator('.page-foot').textContent(), patience).toContain('Give the number');
    await keys.scan('lot-1');
    await expect.poll(() => page.locator('[data-testid=lot-jobs] tbody tr').count(), patience).toBe(60);
    const stocks = await page.locator('[data-testid=lot-stocks] tbody tr').allTextContents();
    expect(stocks).toEqual([
      expect.stringMatching(/^bench-one.*never had it/),
      expect.stringMatching(/^bench-two.*Blocked: wrong label.*400.*387\.5/),
    ]);
    expect(await axeFindings(page)).toEqual([]);
    await shot('lots');
    await page.getByTestId('filter-lotId').fill('');
  });

  test('exports readings of all benches', async () => {
    await keys.press('F6');
    await page.getByTestId('format-csv').check();
    await keys.press('Enter');
    await keys.see('[data-testid=export-progress][data-state=ready]');
    const [file] = await Promise.all([page.waitForEvent('download'), keys.press('F9')]);
    expect(file.suggestedFilename()).toMatch(/readings\.csv$/);
    expect(await axeFindings(page)).toEqual([]);
  });

  test('speaks German and shows all of it in the dark', async () => {
    await page.evaluate(() => {
      const kept = JSON.parse(localStorage.getItem('bandwright-settings') ?? '{}');
      const next = { ...kept, language: 'de', theme: 'dark' };
      localStorage.setItem('bandwright-settings', JSON.stringify(next));
    });
    await page.reload();
    await keys.see('[data-testid=audit-serial]:focus');
    await keys.scan(inventedSerial(8));
    await keys.see('[data-testid=timeline]');
    await shot('serial-german-dark');
    await keys.press('Shift+F6');
    await keys.see('[data-testid=filter-station]:focus');
    // The benches come after the screen.
    await keys.see('[data-testid=filter-station] option:nth-child(2)');
    await keys.press('ArrowDown');
    await page.getByTestId('filter-impactInstrument').focus();
    await expect.poll(() => page.locator('[data-testid=filter-impactInstrument] option').count()).toBe(2);
    await keys.press('ArrowDown');
    await keys.press('Enter');
    await keys.see('[data-testid=impact-stations]');
    await shot('impact-german-dark');
    await keys.press('Shift+F7');
    await keys.see('[data-testid=filter-lotId]:focus');
    await keys.scan('lot-1');
    await keys.see('[data-testid=lot-jobs]');
    await shot('lots-german-dark');
    await keys.press('F6');
    await page.getByTestId('format-bundle').check();
    await page.getByTestId('filter-bundleChain').focus();
    await expect.poll(() => page.locator('[data-testid=filter-bundleChain] option').count()).toBe(3);
    await keys.press('ArrowDown');
    await shot('bundle-chain-german-dark');
    await keys.press('Shift+F9');
    await keys.see('.chains');
    await shot('stations-german-dark');
    expect(await axeFindings(page)).toEqual([]);
  });

  test('says that the site is away, and goes on by itself when it is back', async () => {
    await site.server.stop('immediate');
    await keys.press('F3');
    await lookUp(inventedSerial(9));
    await keys.see('[data-testid=faults]');
    expect(await page.getByTestId('faults').textContent()).toContain('nicht erreichbar');
    expect(await axeFindings(page)).toEqual([]);
    await shot('away');
    await site.server.start();
    await expect.poll(() => page.getByTestId('faults').count(), { timeout: 40_000 }).toBe(0);
    await lookUp(inventedSerial(9));
    await keys.see('[data-testid=timeline]');
  }, 120_000);
});

test('says on the screen that a login may not read', async () => {
  const refused = await startSiteDesk(wordsOf('bench-one'));
  await expect
    .poll(() => refused.page.getByTestId('faults').textContent(), patience)
    .toContain('may not read');
  await refused.page.screenshot({ path: `${artifacts}/site-desk-refused.png` });
  await refused.close();
});

test('opens in a window, beside a bench on the same computer', async () => {
  const app = await launchBench({ data: site.stationFolder('window'), args: [...wordsOf('auditor')] });
  const window = await app.firstWindow();
  await window.waitForURL(/^http:\/\/127\.0\.0\.1:\d+\//);
  await window.locator('[data-testid=audit-serial]').waitFor();
  expect(await window.locator('.head-name').textContent()).toBe('auditor');
  await app.close();
});
