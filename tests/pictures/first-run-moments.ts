import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { PortLister } from '../../drivers/port/port-list.ts';
import { serveFirstRun } from '../../electron/station/serve-first-run.ts';
import type { Take } from './moments.ts';

const pages = ['choice', 'workshop', 'administrator', 'pin', 'done'] as const;
const answers: Readonly<Record<string, string>> = {
  workshop: 'Invented workshop',
  administrator: 'Administrator Quartz',
  pin: '604117',
  again: '604117',
};

const listPorts: PortLister = async () => [
  {
    path: '/dev/ttyUSB0',
    identity: { transport: 'serial', path: '/dev/ttyUSB0', serialNumber: 'DEMO-1' },
    knownBy: 'serial number',
    product: 'USB serial adapter',
    isScale: false,
  },
];

/** The questions of a first start; each picture has a first start of its own. */
export async function firstRun(take: Take): Promise<void> {
  for (const at of pages) {
    const folder = mkdtempSync(join(tmpdir(), 'bandwright-first-'));
    const started: Awaited<ReturnType<typeof serveFirstRun>>[] = [];
    await take(`first-run-${at}`, async (page) => {
      const home = mkdtempSync(join(folder, 'home-'));
      const served = await serveFirstRun(
        { folders: { demo: join(home, 'demo'), workshop: join(home, 'workshop') }, listPorts },
        0,
      );
      started.push(served);
      await page.goto(served.server.address());
      await goThrough(page, at);
    });
    for (const served of started) await served.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function goThrough(page: Page, until: (typeof pages)[number]): Promise<void> {
  await page.getByTestId('first-run-choice').waitFor();
  if (until === 'choice') return;
  await page.getByTestId('choice-workshop').click();
  await page.keyboard.press('Enter');
  for (const [at, answer] of Object.entries(answers)) {
    const entry = page.locator(`[data-testid=first-run-${at}] [data-entry]`);
    await entry.waitFor();
    if (at === until) return;
    await entry.fill(answer);
    await page.keyboard.press('Enter');
  }
  await page.getByTestId('first-run-done').waitFor();
}
