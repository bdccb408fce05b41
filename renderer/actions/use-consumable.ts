import { identifierSchema } from '../../shared/identifier.ts';
import { chosen } from '../state/situation.ts';
import { type Action, atStep, refusedHere, toStep } from './action.ts';

/** Names the lot that is used, as scanned or typed from its container. */
export const useConsumable: Action = {
  id: 'use-consumable',
  key: 'Enter',
  place: 'main',
  label: () => 'action.useConsumable',
  offered: (situation) => atStep(situation, 'consumable'),
  enabled: (situation) => !situation.screen.busy,
  async run(situation, hands) {
    const step = toStep(situation);
    if (step === null || situation.step?.kind !== 'consumable') return;
    const typed = situation.draft.text.trim();
    const lotId = typed === '' ? (chosen(situation)?.id ?? '') : typed;
    if (lotId === '' && situation.step.lotRequired) {
      hands.say(refusedHere('refusal.lotMissing'));
      return;
    }
    if (lotId !== '' && !identifierSchema.safeParse(lotId).success) {
      hands.say(refusedHere('refusal.lotSpelling'));
      return;
    }
    await hands.command({ kind: 'useConsumable', ...step, ...(lotId === '' ? {} : { lotId }) });
  },
};
