import { mkdirSync } from 'node:fs';
import type { Locator } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { hexText, printableText } from '../../renderer/wording/byte-text.ts';
import { fromBase64 } from '../../shared/evidence/base64.ts';
import { type JobEventOf, jobEventSchema } from '../../shared/job/event.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import {
  type BenchWindowUnderTest,
  makeDataFolder,
  projectFolder,
  removeDataFolder,
  startBenchWindow,
} from './bench-window.ts';

const artifacts = `${projectFolder}/tests/.artifacts`;
let data: string;
let window: BenchWindowUnderTest | undefined;

beforeEach(() => {
  data = makeDataFolder();
  mkdirSync(artifacts, { recursive: true });
});

afterEach(async () => {
  await window?.close();
  window = undefined;
  removeDataFolder(data);
});

type Capture = JobEventOf<'measurementCaptured'>['capture'];

/** What was written down about the one visit of a serial, read beside the running station. */
function writtenOf(serial: string) {
  const evidence = openEvidence(data);
  try {
    const jobs = evidence.jobsOfSerial(serial);
    expect(jobs).toHaveLength(1);
    const { jobId } = jobs[0]!;
    const captures = evidence
      .readStream(`job/${jobId}`)
      .map((stored) => ({ stored, event: jobEventSchema.parse(stored.body) }))
      .flatMap(({ stored, event }) => (event.kind === 'measurementCaptured' ? [{ stored, event }] : []));
    return { jobId, captures, record: evidence.recordOf(jobId)?.record };
  } finally {
    evidence.close();
  }
}

/** Text of a place on the page with every kind of space as one plain space. */
async function textOf(place: Locator): Promise<string> {
  return plain((await place.textContent()) ?? '');
}

function plain(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

describe('a whole job in the window, by keyboard alone', () => {
  test('is signed in, filled, tightened, released and audited; screen and database agree', {
    timeout: 120_000,
  }, async () => {
    window = await startBenchWindow({ data, args: ['--lang=en-US'] });
    const { page } = window;
    const bench = new BenchKeyboard(page);
    const shoot = (name: string) => page.screenshot({ path: `${artifacts}/whole-job-${name}.png` });

    await bench.signIn(people.amber);
    await bench.expectSimulated();
    await bench.openJob('SLT-2001', 'sheet-slate-short');
    expect(await textOf(page.getByTestId('serial-in-hand'))).toBe('SLT-2001');
    await bench.expectSimulated();

    await bench.atStep('make-safe');
    const cautions = await textOf(page.getByTestId('step'));
    expect(cautions).toContain('Mains power.');
    expect(cautions).toContain('Pull the plug and keep it in sight');
    await bench.press('Enter');

    await bench.atStep('fill');
    await bench.weighEmptyDish();
    // Simulated like a real one: the last digit of the scale may differ by one or two.
    expect(await textOf(page.locator('.measure'))).toMatch(/Empty dish: 41\.8[5-9] g/);
    // Nothing in the dish: not green, and Enter writes nothing that passes.
    expect(await bench.verdict()).not.toBe('pass');
    await bench.fillUntilInside();
    await bench.expectSimulated();
    expect(await textOf(page.locator('.verdict-word'))).toBe('PASS');
    expect(await textOf(page.locator('.live-unit'))).toBe('g');
    expect(Math.abs((await bench.value()) - 18)).toBeLessThan(0.1);
    await shoot('fill');
    await bench.captureMass();
    const filled = plain(await bench.outcome('Fill the outer recess'));

    await bench.atStep('tighten');
    await bench.pull('pass');
    await bench.expectSimulated();
    expect(await textOf(page.locator('.live-unit'))).toBe('N·m');
    expect(Math.abs((await bench.value()) - 27)).toBeLessThan(1.5);
    await shoot('torque');
    await bench.press('Enter');
    const tightened = plain(await bench.outcome('Tighten the lock ring'));

    await bench.atStep('sign-off');
    await bench.scan(people.amber.pin);
    await bench.release(people.amber);
    await bench.expectSimulated();
    await shoot('record');
    const readings = await page.locator('.readings li').allTextContents();

    const written = writtenOf('SLT-2001');
    const [mass, torque] = written.captures.map(({ event }) => event.capture);
    expect(written.captures).toHaveLength(2);
    expect(written.record).toMatchObject({ serial: 'SLT-2001', simulated: true, outcome: 'released' });
    expect(filled).toBe(`Fill the outer recess: PASS, ${atBench(mass!)}. Written down.`);
    expect(tightened).toBe(`Tighten the lock ring: PASS, ${atBench(torque!)}. Written down.`);
    expect(readings.map(plain)).toEqual([
      `${atBench(mass!)}PASSFill the outer recess`,
      `${atBench(torque!)}PASSTighten the lock ring`,
    ]);
    await bench.nextSerial();
    await bench.signOut();

    // The auditor types the serial and sees what the database holds.
    await bench.signIn(people.flint);
    await bench.findReadings('SLT-2001');
    await bench.expectSimulated();
    expect(await textOf(page.getByTestId(`visit-${written.jobId}`))).toContain(
      `Record hash: ${written.record?.hash}`,
    );
    await shoot('audit');
    await bench.press('F8');
    await bench.untilVerified(
      /Intact\. \d+ entries of the chain checked: chain, signatures and replay agree/,
    );
    await shoot('verified');

    for (const { event, stored } of written.captures) {
      const card = page.getByTestId(`capture-${event.capture.captureId}`);
      const text = await textOf(card);
      expect(text).toContain(inFull(event.capture));
      expect(text).toContain('PASS');
      expect(text).toContain(`No. ${stored.sequence}`);
      expect(text).toContain(stored.hash);
      await expectFacts(card, event);
      await expectRawBytes(bench, card, event.capture);
    }
    await shoot('raw-bytes');
  });
});

/** Value and unit of a capture as the bench prints them: hundredths, as the scale of the demo shows them. */
function atBench({ measured }: Capture): string {
  return `${Number(measured.text).toFixed(2)} ${printed[measured.unit]}`;
}

/** Value and unit of a capture as the audit screen prints them: every digit. */
function inFull({ measured }: Capture): string {
  return `${measured.text} ${printed[measured.unit]}`;
}

const printed: Readonly<Record<string, string>> = { g: 'g', 'N.m': 'N·m', 'lbf.ft': 'lbf·ft' };

async function expectFacts(card: Locator, { capture, at }: JobEventOf<'measurementCaptured'>): Promise<void> {
  const names = await card.locator('.facts dt').allTextContents();
  const values = (await card.locator('.facts dd').allTextContents()).map(plain);
  const facts = Object.fromEntries(names.map((name, index) => [name, values[index]]));
  const unit = printed[capture.band.unit];
  const moment = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'medium' });
  expect(facts).toMatchObject({
    Indication: `${capture.indication.text} ${printed[capture.indication.unit]}`,
    Tolerance: `${capture.band.lower} … ${capture.band.upper} ${unit}`,
    Instrument: `${capture.instrument.name} (simulated)`,
    Person: people.amber.name,
    Time: plain(moment.format(new Date(at))),
  });
  expect(facts.Certificate).toContain(capture.instrument.certificateNumber);
  expect(facts.Conformance).toMatch(/%$/);
}

/** Opens the raw lines by keyboard and compares them with the stored bytes. */
async function expectRawBytes(bench: BenchKeyboard, card: Locator, capture: Capture): Promise<void> {
  await bench.openDetails(card.locator('details.raw'));
  const rows = await card.locator('details.raw tbody tr').all();
  const { lines } = capture.evidence;
  expect(lines.length).toBeGreaterThan(0);
  expect(rows).toHaveLength(lines.length);
  for (const [index, row] of rows.entries()) {
    const bytes = fromBase64(lines[index]!.base64)!;
    const cells = await row.locator('td').allTextContents();
    expect(cells[1]).toBe(printableText(bytes));
    expect(cells[2]).toBe(hexText(bytes));
  }
  // The indication that was judged stands in the bytes.
  expect(await card.locator('details.raw tbody').textContent()).toContain(capture.indication.text);
}
