import { expect } from 'vitest';
import { patience, ScreenKeyboard } from './screen-keyboard.ts';

/** Invented people of the demo workshop (seeds/people.json) as they sign in: badge and PIN. */
export const people = {
  amber: { name: 'Technician Amber', badge: 'DEMO-AMBER', pin: '2580' },
  birch: { name: 'Technician Birch', badge: 'DEMO-BIRCH', pin: '4719' },
  cedar: { name: 'Lead Cedar', badge: 'DEMO-CEDAR', pin: '7391' },
  flint: { name: 'Auditor Flint', badge: 'DEMO-FLINT', pin: '8150' },
} as const;
export interface DemoPerson {
  readonly name: string;
  readonly badge: string;
  readonly pin: string;
}

/** Answers to the steps of the demo sheets that ask for one. */
const lots: Readonly<Record<string, string>> = { 'grease-lot': 'LOT-BLUE-01', seal: 'LOT-VIOLET-01' };
const numbers: Readonly<Record<string, string>> = { 'run-in': '41.5' };

/** Between two looks at the live value: one and a half lines of the scale. */
const lookEveryMilliseconds = 150;

/** The page once a step is no longer in hand. */
const withoutStep = (stepId: string) => `.page:not(:has([data-testid=step][data-step="${stepId}"]))`;

/** A person who works at the bench, or reads at the audit screen, by keyboard alone. */
export class BenchKeyboard extends ScreenKeyboard {
  /** Waits until the bench is at a phase of the work (`start`, `step`, `complete`, `closed` …). */
  async atPhase(phase: string): Promise<void> {
    await this.see(`.page[data-screen=bench][data-phase="${phase}"]`);
  }

  phase(): Promise<string | null> {
    return this.page.locator('.page').getAttribute('data-phase');
  }

  async atStep(stepId: string): Promise<void> {
    await this.see(`[data-testid=step][data-step="${stepId}"]`);
  }

  async signIn({ badge, pin, name }: DemoPerson): Promise<void> {
    await this.atPhase('signed out');
    await this.see('[data-testid=badge]');
    await this.scan(badge);
    await this.see('[data-testid=pin]');
    await this.scan(pin);
    await this.see('.page:not([data-phase="signed out"])');
    await expect.poll(() => this.page.locator('.page').textContent(), patience).toContain(name);
  }

  async signOut(): Promise<void> {
    await this.fromMenu('F2', 'sign-out');
    await this.atPhase('signed out');
  }

  /** Scans a serial that is new here and opens its job with a sheet. */
  async openJob(serial: string, sheetId: string): Promise<void> {
    await this.atPhase('start');
    await this.scan(serial);
    await this.atPhase('sheets');
    await this.choose(sheetId);
    await this.press('Enter');
    await this.atPhase('step');
  }

  /** Scans a serial whose job is open already. */
  async takeInHand(serial: string): Promise<void> {
    await this.atPhase('start');
    await this.scan(serial);
    await this.atPhase('step');
  }

  /** Leaves the job as it stands and goes back to the serial. */
  async putAside(): Promise<void> {
    await this.press('Escape');
    await this.atPhase('start');
  }

  /** Kind and id of the step in hand. */
  async stepInHand(): Promise<{ readonly kind: string; readonly stepId: string }> {
    const step = this.page.getByTestId('step');
    const [kind, stepId] = [await step.getAttribute('data-kind'), await step.getAttribute('data-step')];
    if (kind === null || stepId === null) throw new Error('no step is in hand');
    return { kind, stepId };
  }

  /** Does the step in hand as a careful technician would, and waits for the next one. */
  async doStep(person: DemoPerson): Promise<void> {
    const { kind, stepId } = await this.stepInHand();
    switch (kind) {
      case 'caution':
      case 'instruction':
        await this.press('Enter');
        break;
      case 'check':
        await this.choose('yes');
        await this.press('Enter');
        break;
      case 'disposition':
        await this.choose('reuse');
        await this.press('Enter');
        break;
      case 'consumable':
        await this.scan(lots[stepId] ?? '');
        break;
      case 'numeric':
        await this.scan(numbers[stepId] ?? '');
        break;
      case 'note':
        await this.write('Nothing to add');
        await this.press('Enter');
        break;
      case 'signOff':
        await this.scan(person.pin);
        break;
      case 'mass':
        await this.weighEmptyDish();
        await this.fillUntilInside();
        await this.captureMass();
        break;
      case 'torque':
        await this.pull('pass');
        await this.press('Enter');
        break;
      default:
        throw new Error(`a step of the kind ${kind} is not known here`);
    }
    await this.leftStep(stepId);
  }

  /** Waits until another step is in hand, or none. */
  async leftStep(stepId: string): Promise<void> {
    await this.see(withoutStep(stepId));
  }

  /** Dish on, wait for rest, tare. */
  async weighEmptyDish(): Promise<void> {
    await this.press('F9');
    await expect.poll(() => this.value(), patience).toBeGreaterThan(1);
    for (let tries = 0; tries < 5; tries++) {
      await this.untilVerdict('settled');
      await this.press('Enter');
      // A scale that had moved again when Enter came is refused, and asked once more.
      const due = this.page.locator('[data-testid=step] [data-tare-due=false], .sentence.is-refused');
      await due.first().waitFor(patience);
      if ((await this.page.locator('[data-testid=step] [data-tare-due=false]').count()) > 0) break;
    }
    await this.see('[data-testid=step] [data-tare-due=false]');
    // Net from now on: the first reading after the tare.
    await expect.poll(() => this.value(), patience).toBeLessThan(1);
  }

  /** Squeezes until the screen says that the mass is inside and settled. */
  async fillUntilInside(): Promise<void> {
    const target = await this.target();
    for (let squeezes = 0; squeezes < 20; squeezes++) {
      const missing = target - (await this.untilValue());
      if (missing < 0.1) break;
      await this.squeeze(0.1 * missing);
      // The last squeezes are judged from a value at rest; before that it is enough that it hardly moves.
      if (missing < 1) await this.untilVerdict(/^(?!unsettled|waiting)/);
    }
    await this.untilVerdict('pass');
    await this.untilSentence('Inside and settled. Press Enter to capture.');
  }

  /** Captures what is inside and settled. A scale that had moved again when Enter came is asked once more. */
  async captureMass(): Promise<void> {
    const { stepId } = await this.stepInHand();
    const left = this.page.locator(withoutStep(stepId));
    const refused = this.page.locator('.sentence.is-refused');
    for (let tries = 0; tries < 5; tries++) {
      await this.untilVerdict('pass');
      await this.press('Enter');
      await left
        .or(refused)
        .first()
        .waitFor({ ...patience, state: 'attached' });
      // What the former try was told may still stand there while this one is written down.
      await this.page.waitForTimeout(tries * 500);
      if ((await left.count()) > 0) return;
    }
    await this.leftStep(stepId);
  }

  /** Captures a mass that is outside: the first Enter is questioned, the second one is meant. */
  async captureOutside(): Promise<void> {
    await this.press('Enter');
    await this.untilSentence('outside the solid zone');
    await this.press('Enter');
  }

  /** Takes grease out of the dish, a little at a time, until the screen says that the rest is inside. */
  async scoopOutUntilInside(): Promise<void> {
    for (let scoops = 0; scoops < 10; scoops++) {
      const before = await this.untilValue();
      await this.press('Control+F10');
      await expect.poll(() => this.value(), patience).toBeLessThan(before - 0.1);
      await this.untilVerdict(/^(?!unsettled|waiting)/);
      if ((await this.verdict()) === 'pass') return;
    }
    throw new Error('scooped ten times, and still not inside');
  }

  /** One squeeze of the tube; resolves when the value has risen and moves by less than this between two looks. */
  async squeeze(stillGrams = 0.1): Promise<void> {
    const before = await this.untilValue();
    let last = Number.NaN;
    await this.press('F10');
    const stands = async () => {
      const now = await this.value();
      const hardlyMoved = now > before + 0.05 && Math.abs(now - last) < Math.max(stillGrams, 0.1);
      last = now;
      return hardlyMoved;
    };
    await expect.poll(stands, { ...patience, interval: lookEveryMilliseconds }).toBe(true);
  }

  /** Pulls the wrench (F10, or F9 for a hand that lets go too early) until the screen judges the pull. */
  async pull(verdict: 'pass' | 'fail'): Promise<void> {
    await this.press(verdict === 'pass' ? 'F10' : 'F9');
    await this.untilVerdict(verdict);
  }

  /** Waits for a live value; there is none for a moment after a tare or a capture. */
  async untilValue(): Promise<number> {
    let value = await this.value();
    const look = async () => {
      value = await this.value();
      return value;
    };
    await expect.poll(look, { ...patience, interval: 20 }).not.toBeNaN();
    return value;
  }

  /** The large live value as a number; NaN while dashes stand there. */
  async value(): Promise<number> {
    return Number((await this.liveText()).replace('−', '-'));
  }

  async liveText(): Promise<string> {
    return (await this.page.getByTestId('live-value').textContent()) ?? '';
  }

  /** The target that the step shows. */
  async target(): Promise<number> {
    const text = await this.page.locator('.measure-facts strong').first().textContent();
    return Number(/Target ([\d.]+)/.exec(text ?? '')?.[1]);
  }

  verdict(): Promise<string | null> {
    return this.page.getByTestId('verdict').getAttribute('data-verdict');
  }

  async untilVerdict(verdict: string | RegExp): Promise<void> {
    const pattern = typeof verdict === 'string' ? new RegExp(`^${verdict}$`) : verdict;
    await expect.poll(() => this.verdict(), patience).toMatch(pattern);
  }

  /** What the screen says of the attempt just made; resolves once the attempt is written down. */
  async outcome(stepTitle: string): Promise<string> {
    const outcome = this.page.getByTestId('outcome');
    await expect
      .poll(() => outcome.textContent({ timeout: 1000 }).catch(() => ''), patience)
      .toMatch(new RegExp(`^${stepTitle}: `));
    return (await outcome.textContent()) ?? '';
  }

  /** Signs the release and waits until the head is released. */
  async release({ pin }: DemoPerson): Promise<void> {
    await this.atPhase('complete');
    await this.scan(pin);
    await this.see('[data-testid=released]');
  }

  async nextSerial(): Promise<void> {
    await this.press('Enter');
    await this.atPhase('start');
  }

  /** Looks a serial up at the audit screen. */
  async findReadings(serial: string): Promise<void> {
    await this.see('.page[data-screen=audit]');
    await this.see('[data-testid=audit-serial]:focus');
    await this.scan(serial);
    await this.see('[data-testid=timeline]');
  }

  async untilVerified(sentence: RegExp): Promise<void> {
    const text = async () =>
      ((await this.page.getByTestId('verify').textContent()) ?? '').replace(/\s+/g, ' ');
    await expect.poll(text, patience).toMatch(sentence);
  }
}
