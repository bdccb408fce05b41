import { type Action, atStep } from './action.ts';

/** Tares the scale itself, where it takes the request. */
export const tareInstrument: Action = {
  id: 'tare-instrument',
  key: 'F3',
  place: 'bar',
  label: () => 'action.tareInstrument',
  offered: (situation) =>
    atStep(situation, 'mass') && situation.step?.kind === 'mass' && situation.step.tare === 'instrument',
  enabled: (situation) => situation.instrument !== null && !situation.screen.busy,
  async run(situation, hands) {
    const instrumentId = situation.instrument?.instrumentId;
    if (instrumentId !== undefined) await hands.ask('adjustInstrument', { instrumentId, action: 'tare' });
  },
};
