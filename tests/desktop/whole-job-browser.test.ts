import { mkdirSync } from 'node:fs';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { loadDemoWorkshop } from '../../seeds/index.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, projectFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;
let data: string;
let browser: Awaited<ReturnType<typeof startBrowserBench>> | undefined;

beforeEach(() => {
  data = makeDataFolder();
  mkdirSync(artifacts, { recursive: true });
});

afterEach(async () => {
  await browser?.close();
  browser = undefined;
  removeDataFolder(data);
});

test('every step of a full sheet is done in a browser by keyboard, each kind with its answer, and released', {
  timeout: 120_000,
}, async () => {
  const sheet = loadDemoWorkshop().sheets.find(({ sheetId }) => sheetId === 'sheet-slate')!;
  browser = await startBrowserBench({ data });
  const { page } = browser;
  const bench = new BenchKeyboard(page);

  await bench.signIn(people.amber);
  await bench.openJob('SLT-1001', sheet.sheetId);
  const done: string[] = [];
  while ((await bench.phase()) === 'step') {
    const { stepId } = await bench.stepInHand();
    expect(done, `${stepId} comes up twice`).not.toContain(stepId);
    await bench.expectSimulated();
    const step = sheet.steps.find((one) => one.stepId === stepId)!;
    expect(await page.getByTestId('step-title').textContent()).toBe(step.title.en);
    const text = await page.getByTestId('step').textContent();
    for (const caution of step.cautions) expect(text).toContain(caution.text.en);
    await bench.doStep(people.amber);
    done.push(stepId);
  }
  expect([...done].sort()).toEqual(sheet.steps.map(({ stepId }) => stepId).sort());
  await bench.release(people.amber);
  await page.screenshot({ path: `${artifacts}/whole-job-browser-released.png` });

  const evidence = openEvidence(data);
  const { jobId } = evidence.jobsOfSerial('SLT-1001')[0]!;
  const events = evidence.readStream(`job/${jobId}`).map(({ body }) => body);
  const record = evidence.recordOf(jobId)?.record;
  evidence.close();
  expect(record).toMatchObject({ outcome: 'released', simulated: true, serial: 'SLT-1001' });
  expect(events.filter(({ kind }) => kind === 'checkAnswered').map(({ answer }) => answer)).toEqual(
    Array(3).fill('yes'),
  );
  expect(events).toContainEqual(
    expect.objectContaining({ kind: 'numericRecorded', text: '41.5', unit: '°C', within: true }),
  );
  expect(events.filter(({ kind }) => kind === 'consumableUsed').map(({ lotId }) => lotId)).toEqual([
    'LOT-BLUE-01',
    'LOT-VIOLET-01',
  ]);
  // Nobody but the person at the keyboard did anything.
  expect(new Set(events.map(({ personId }) => personId))).toEqual(new Set(['amber']));
});
