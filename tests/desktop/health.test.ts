import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeBackupPlan } from '../../electron/station/store/backup-plan.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';
import { DeskKeyboard } from './desk-keyboard.ts';

let data: string;
let browser: Awaited<ReturnType<typeof startBrowserBench>>;
let desk: DeskKeyboard;

beforeAll(async () => {
  data = makeDataFolder();
  browser = await startBrowserBench({ data });
  desk = new DeskKeyboard(browser.page);
});

afterAll(async () => {
  await browser?.close();
  removeDataFolder(data);
});

async function finding(subject: string, verdict: string): Promise<string> {
  const row = `[data-testid=finding-${subject}][data-verdict=${verdict}]`;
  await desk.see(row);
  return (await browser.page.locator(row).textContent()) ?? '';
}

test('a lead sees what is good and what is bad, looks again, and reads it in German', async () => {
  const bench = new BenchKeyboard(browser.page);
  await bench.signIn(people.cedar);
  await desk.goTo('health');
  expect(await finding('station', 'good')).toBe('goodStationWorks in the folder now.');
  expect(await finding('backups', 'note')).toContain('None are planned.');
  writeBackupPlan(data, { target: 'nowhere', everyHours: 24, keep: 3 });
  await desk.act('look-again', 'F5');
  expect(await finding('backups', 'bad')).toBe(
    'BADBackupsThey are planned, but there is none where they belong. Look at that disk.',
  );
  expect(await browser.page.getByTestId('health-whole').textContent()).toContain('Somebody has to act: 1 of');
  await desk.goTo('settings');
  await desk.reach('language-en');
  await desk.press('ArrowDown');
  await desk.goTo('health');
  expect(await finding('station', 'good')).toBe('gutStationArbeitet jetzt in dem Ordner.');
  expect(await finding('backups', 'bad')).toBe(
    'SCHLECHTSicherungenSie sind geplant, aber am vorgesehenen Ort ist keine. Den Datenträger dort ansehen.',
  );
});

test('who may not see it is not led there', async () => {
  const bench = new BenchKeyboard(browser.page);
  await bench.fromMenu('F2', 'sign-out');
  await desk.press('Escape');
  await bench.signIn(people.amber);
  await desk.press('F2');
  await desk.see('dialog[open] [data-testid=action-go-to-people]');
  expect(await browser.page.locator('dialog[open] [data-testid=action-go-to-health]').count()).toBe(0);
});
