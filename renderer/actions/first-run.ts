import { pageBefore, type SettingUp } from '../state/setting-up.ts';
import { chosen, type Situation } from '../state/situation.ts';
import type { MessageKey } from '../wording/english.ts';
import { type Action, atBench, type Hands, refusedHere } from './action.ts';

function atFirstRun(situation: Situation): boolean {
  return atBench(situation) && situation.phase === 'first run';
}

const labels: Readonly<Record<SettingUp['page'], MessageKey>> = {
  choice: 'action.firstRunContinue',
  workshop: 'action.firstRunContinue',
  administrator: 'action.firstRunContinue',
  pin: 'action.firstRunContinue',
  again: 'action.firstRunSetUp',
  done: 'action.firstRunInstruments',
};

/** Takes what the page asks for and shows the next one; the last but one sets the workshop up. */
export const continueFirstRun: Action = {
  id: 'continue-first-run',
  key: 'Enter',
  place: 'main',
  label: (situation) =>
    chosen(situation)?.id === 'demo' ? 'action.firstRunDemo' : labels[pageOf(situation)],
  offered: atFirstRun,
  enabled: (situation) => !situation.screen.busy,
  run: (situation, hands) => takePage(situation, hands),
};

/** Goes back a page; what was typed there is typed anew. */
export const backInFirstRun: Action = {
  id: 'back-in-first-run',
  key: 'Escape',
  place: 'bar',
  label: () => 'action.firstRunBack',
  offered: (situation) => atFirstRun(situation) && pageBefore(pageOf(situation)) !== null,
  enabled: (situation) => !situation.screen.busy,
  run(situation, hands) {
    const page = pageBefore(pageOf(situation));
    if (page !== null) turnTo(situation, hands, { page });
  },
};

function pageOf({ screen }: Situation): SettingUp['page'] {
  return screen.settingUp.page;
}

async function takePage(situation: Situation, hands: Hands): Promise<void> {
  const typed = situation.draft.text.trim();
  switch (pageOf(situation)) {
    case 'choice':
      return takeChoice(situation, hands);
    case 'workshop':
      if (typed === '') return hands.say(refusedHere('refusal.firstRunName'));
      return turnTo(situation, hands, { page: 'administrator', workshop: typed });
    case 'administrator':
      if (typed === '') return hands.say(refusedHere('refusal.firstRunName'));
      return turnTo(situation, hands, { page: 'pin', administrator: typed });
    case 'pin':
      if (typed === '') return hands.say(refusedHere('refusal.pinMissing'));
      return turnTo(situation, hands, { page: 'again', pin: typed });
    case 'again':
      return finish(situation, hands, typed);
    case 'done':
      hands.set({ screen: 'instruments', notice: null });
      turnTo(situation, hands, { page: 'choice', pin: '' });
  }
}

async function takeChoice(situation: Situation, hands: Hands): Promise<void> {
  const choice = chosen(situation)?.id;
  if (choice === undefined) hands.say(refusedHere('refusal.firstRunChoice'));
  else if (choice === 'workshop') turnTo(situation, hands, { page: 'workshop' });
  else await hands.ask('setUp', { kind: 'demo' });
}

async function finish(situation: Situation, hands: Hands, again: string): Promise<void> {
  const { workshop, administrator, pin } = situation.screen.settingUp;
  if (again !== pin) {
    turnTo(situation, hands, { page: 'pin', pin: '' });
    hands.say(refusedHere('refusal.firstRunPinDiffers'));
    return;
  }
  const answer = await hands.ask('setUp', { kind: 'workshop', workshop, administrator, pin });
  const { settingUp } = situation.screen;
  if (answer === null) {
    // Most likely the PIN was too plain; the sentence says why.
    hands.set({ settingUp: { ...settingUp, page: 'pin', pin: '' } });
    return;
  }
  const { dataFolder, keyId } = answer.value;
  hands.set({ settingUp: { ...settingUp, page: 'done', pin: '', dataFolder, keyId: keyId ?? '' } });
}

function turnTo({ screen }: Situation, hands: Hands, change: Partial<SettingUp>): void {
  hands.set({ settingUp: { ...screen.settingUp, ...change }, notice: null });
}
