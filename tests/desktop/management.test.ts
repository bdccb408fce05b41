import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, removeDataFolder, startBrowserBench } from './bench-window.ts';
import { DeskKeyboard } from './desk-keyboard.ts';

/** Invented people of the demo workshop (seeds/people.json). */
const dune = { personId: 'dune', pin: '6284' };
const quartz = { name: 'Administrator Quartz', badge: 'DEMO-QUARTZ', pin: '9037' };
const willow = { name: 'Technician Willow', badge: 'DEMO-WILLOW', pin: '3917' };

/** A picture of one pixel. */
const onePixel = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
);

const patience = { timeout: 20_000 };
const inAYear = new Date(Date.now() + 365 * 86_400_000).toISOString().slice(0, 10);
const yesterday = new Date(Date.now() - 86_400_000).toISOString().slice(0, 10);

let data: string;
let browser: Awaited<ReturnType<typeof startBrowserBench>>;
let bench: BenchKeyboard;
let desk: DeskKeyboard;

beforeAll(async () => {
  data = makeDataFolder();
  browser = await startBrowserBench({ data });
  bench = new BenchKeyboard(browser.page);
  desk = new DeskKeyboard(browser.page);
});

afterAll(async () => {
  await browser?.close();
  removeDataFolder(data);
});

/** Opens the draft in the editor, at one of its steps. */
async function editStep(title: string): Promise<void> {
  await desk.act('edit-sheet', 'F3');
  const part = browser.page.locator('[data-testid=editor-parts] [role=option]', { hasText: title });
  await expect.poll(() => part.count(), patience).toBe(1);
  const item = (await part.getAttribute('data-testid')) ?? '';
  await desk.choose(item.replace('item-', ''), 'editor-parts');
}

describe('a lead at the desk, by keyboard alone', () => {
  test('enters a certificate; a field that is wrong is named, as typed or as pasted', async () => {
    await bench.signIn(people.cedar);
    await desk.goTo('instruments');
    await desk.choose('wrench-2');
    await desk.act('add-certificate', 'F4');
    await desk.see('dialog[open] [data-testid=certificate-number]:focus');
    const fields = { number: 'INVENTED-T-9001', provider: 'Invented bench', reference: 'Invented standard' };
    for (const [name, value] of Object.entries(fields)) await desk.fill(`certificate-${name}`, value);
    await desk.fill('certificate-date', yesterday);
    await desk.fill('certificate-due', inAYear);
    await desk.fill('asLeft-0-reference', '10');
    await desk.fill('asLeft-0-error', '0.1');
    await desk.fill('asLeft-0-expanded', 'much');
    await desk.press('Enter');
    expect(await desk.failure()).toContain('As left, line 1, U');
    await desk.fill('asLeft-0-expanded', '0.2');
    await desk.fill('asLeft-1-reference', '40');
    await desk.fill('asLeft-1-error', '0.2');
    await desk.fill('asLeft-1-expanded', '0.4');
    await desk.press('Enter');
    await desk.untilDialogCloses();
    await desk.untilSentence('INVENTED-T-9001 is entered');
    await desk.see('[data-testid=certificate-INVENTED-T-9001][open]');

    await desk.act('add-certificate', 'F4');
    await desk.reach('certificate-as-json');
    await desk.press('Enter');
    const pasted = { number: 'X', provider: 'X', reference: 'X', date: yesterday, due: inAYear, unit: 'N.m' };
    await desk.fill(
      'certificate-json',
      JSON.stringify({ ...pasted, asLeft: [{ reference: 1, error: 0, expanded: -1, k: 2 }] }),
    );
    await desk.reach('certificate-confirm');
    await desk.press('Enter');
    expect(await desk.failure()).toContain('certificate.asLeft[0].expanded');
    await desk.press('Escape');
    await desk.untilDialogCloses();
  });

  test('the budget at a reading that is typed: a line for each contribution, shares that make the whole', async () => {
    await desk.choose('scale-1');
    await desk.fill('budget-reading', '18.00');
    const shares = browser.page.locator('[data-testid=budget] .budget-bar > span');
    const widths = await shares.evaluateAll((bars) =>
      bars.map((bar) => Number.parseFloat((bar as unknown as { style: { width: string } }).style.width)),
    );
    expect(widths.length).toBeGreaterThan(3);
    expect(widths.reduce((sum, width) => sum + width, 0)).toBeCloseTo(100, 3);
  });

  test('a check that fails takes the scale out of use', async () => {
    await desk.act('check-instrument', 'F3');
    await desk.answer({ indication: '200.50', name: 'Invented check weight', value: '200' });
    await desk.untilDialogCloses();
    await desk.untilSentence('CHECK FAILED: 0.5');
    await desk.see('[data-testid=fitness][data-code=check_failed]');
  });

  test('receives a lot', async () => {
    await desk.goTo('stock');
    await desk.choose('LOT-BLUE-01');
    await desk.act('receive-lot', 'F3');
    await desk.answer({ lotId: 'LOT-NEW-07', quantity: '500', expiry: inAYear });
    await desk.untilDialogCloses();
    await desk.see('[data-testid=lot-LOT-NEW-07]');
  });

  test('writes a new step into a sheet; what is missing is named; another lead approves it', async () => {
    await desk.goTo('sheets');
    await desk.choose('sheet-slate-short');
    await desk.act('edit-sheet', 'F3');
    await desk.see('[data-testid=sheet-editor]');
    await desk.choose('0', 'editor-parts');
    await desk.act('add-step', 'F5');
    await desk.answer({ kind: 'consumable', stepId: 'grease-lot' });
    await desk.untilDialogCloses();
    await desk.see('[data-testid=editor-parts] [data-testid=item-1][aria-selected=true]');
    await desk.fill('field-title.en', 'Grease lot');
    await desk.fill('field-title.de', 'Fettgebinde');
    await desk.fill('field-name.en', 'Blue bench grease');
    await desk.fill('field-name.de', 'Blaues Werkbankfett');
    await desk.press('F4');
    await desk.untilSentence('Step 2 “Grease lot”, “Material by its short name”: this is empty. Fill it in.');
    await desk.see('[data-testid=field-consumableId][aria-invalid=true]:focus');
    await desk.fill('field-consumableId', 'grease-blue');
    await desk.press('F4');
    await desk.untilSentence('Draft of revision 2 is saved');
    await desk.see('[data-testid=differences]');
    const newStep = browser.page.getByTestId('differences').locator('tr', { hasText: 'The whole step' });
    expect(await newStep.textContent()).toContain('Grease lot');

    // An adapter on the wrench and a picture, in and out again.
    await editStep('Tighten the lock ring');
    await desk.reach('field-lever');
    await desk.press('Space');
    await desk.fill('field-lever.wrenchLength', '350');
    await desk.fill('field-lever.extension', '50.5');
    // Asked for before the way there: a browser that is busy takes a moment until it hands choosers out.
    const choosing = browser.page.waitForEvent('filechooser');
    await desk.reach('picture-choose');
    await desk.press('Enter');
    const chooser = await choosing;
    await chooser.setFiles({ name: 'lock-ring.png', mimeType: 'image/png', buffer: onePixel });
    await desk.see('.editor-picture');
    await desk.fill('field-description.en', 'The lock ring');
    await desk.fill('field-description.de', 'Der Verschlussring');
    await desk.press('F4');
    await desk.untilSentence('Draft of revision 2 is saved');
    const differences = await browser.page.getByTestId('differences').textContent();
    for (const part of ['An adapter or extension', '50.5\u202fmm']) expect(differences).toContain(part);
    await desk.see('[data-testid=differences] img[alt="The lock ring"]');
    await editStep('Tighten the lock ring');
    await desk.reach('field-lever');
    await desk.press('Space');
    await desk.reach('picture-remove');
    await desk.press('Enter');
    await desk.press('F4');
    await desk.see('[data-testid=differences]');
    expect(await browser.page.getByTestId('differences').textContent()).not.toContain('An adapter');

    await desk.act('submit-sheet', 'F4');
    await desk.see('[data-testid=sheet-sheet-slate-short][data-status=submitted]');
    await desk.act('approve-sheet', 'F5');
    // Nobody approves their own: the author is not even offered.
    expect(await browser.page.locator('#question-personId option[value=cedar]').count()).toBe(0);
    await desk.answer(dune);
    await desk.untilDialogCloses();
    await desk.untilSentence('Revision 2 is approved');
  });

  test('teaches the practice device and registers it', { timeout: 90_000 }, async () => {
    await desk.goTo('teach');
    await desk.choose('practice-device');
    await desk.act('listen-to-port', 'F3');
    await desk.answer({ baud: '9600' });
    await desk.untilDialogCloses();
    await desk.act('move-practice', 'F9');
    await untilAtRest();
    const [shown = ''] = (await displayed()).split(' ');
    await desk.act('confirm-display', 'F5');
    await desk.answer({ text: shown });
    await desk.untilDialogCloses();
    await desk.untilSentence('is found in the lines');
    await desk.act('save-profile', 'F6');
    await desk.answer({ name: 'taught-practice', titleEn: 'Practice', titleDe: 'Uebung' });
    await desk.untilDialogCloses();
    await desk.untilSentence('Profile taught-practice, revision 1, is saved');
    await desk.act('register-taught', 'F7');
    await desk.answer({
      instrumentId: 'scale-practice',
      name: 'Practice scale',
      serialNumber: 'DEMO-PR-1',
      capacity: '3200',
      resolution: '0.01',
    });
    await desk.untilDialogCloses();
    await desk.see('[data-testid=instrument-scale-practice] [data-testid=fitness][data-code=uncertified]');
    await expect
      .poll(() => browser.page.getByTestId('desk-live').textContent(), patience)
      .toMatch(/^[1-9].*g$/);
  });
});

/** Looks at the display until it has stood at rest for a while, as the question asks. */
async function untilAtRest(): Promise<void> {
  let looks = 0;
  const look = async () => {
    looks = /^[1-9].*stable$/.test(await displayed()) ? looks + 1 : 0;
    return looks;
  };
  await expect.poll(look, { ...patience, interval: 200 }).toBeGreaterThan(12);
}

/** Number and state on the display of the practice device. */
async function displayed(): Promise<string> {
  const display = browser.page.getByTestId('practice-display');
  if ((await display.count()) === 0) return '';
  const number = /^[\d.]+/.exec((await display.textContent()) ?? '')?.[0] ?? '';
  return `${number} ${await display.getAttribute('data-state')}`;
}

describe('an administrator and those at the bench', () => {
  test('a person is added and signs in with badge and PIN', async () => {
    await bench.fromMenu('F2', 'sign-out');
    await bench.signIn(quartz);
    await desk.goTo('people');
    await desk.act('add-person', 'F3');
    await desk.answer({
      personId: 'willow',
      name: willow.name,
      badge: willow.badge,
      newPin: '1111',
      newPinAgain: '1111',
      pin: quartz.pin,
    });
    expect(await desk.failure()).toContain('guessed at once');
    await desk.answer({ newPin: willow.pin, newPinAgain: willow.pin });
    await desk.untilDialogCloses();
    await desk.untilSentence('Technician Willow is added');
    await desk.see('[data-testid=account-willow]');
    await bench.fromMenu('F2', 'sign-out');
    await desk.press('Escape');
    await bench.signIn(willow);
  });

  test('a new job uses the approved sheet and the new lot; the scale waits for a concession', {
    timeout: 90_000,
  }, async () => {
    await bench.openJob('SLT-7001', 'sheet-slate-short');
    await bench.atStep('make-safe');
    await bench.press('Enter');
    await bench.atStep('grease-lot');
    await bench.scan('LOT-NEW-07');
    await bench.atStep('fill');
    await bench.untilSentence('failed its check');
    await desk.goTo('instruments');
    await desk.choose('scale-1');
    await desk.act('concede-instrument', 'F5');
    await desk.answer({
      personId: 'cedar',
      reason: 'Only until the weight comes',
      until: yesterday,
      pin: people.cedar.pin,
    });
    expect(await desk.failure()).toContain('Ask another lead');
    await desk.answer({ personId: dune.personId, until: inAYear, pin: dune.pin });
    expect(await desk.failure()).toContain('31 days');
    await desk.answer({ until: new Date().toISOString().slice(0, 10), pin: dune.pin });
    await desk.untilDialogCloses();
    await desk.see('[data-testid=fitness][data-code=conceded]');
    await desk.press('Escape');
    await bench.atStep('fill');
    await bench.weighEmptyDish();
    await bench.fillUntilInside();
    await bench.captureMass();
    await bench.leftStep('fill');
  });
});
