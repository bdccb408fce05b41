import type { CallParameters, InstrumentView } from '../../shared/contract.ts';
import { quantityOf } from '../../shared/quantity/unit.ts';
import type { Situation } from '../state/situation.ts';
import type { MessageKey } from '../wording/english.ts';
import { type Action, atBench } from './action.ts';

type Movement = CallParameters<'simulate'>['action'];

/** The simulated instrument that a hand would move at this moment. */
export function simulatedInHand(situation: Situation): InstrumentView | null {
  const instrument = situation.instrument;
  return situation.snapshot?.simulated === true && instrument?.simulated === true ? instrument : null;
}

function movement(
  action: Movement,
  key: string,
  label: MessageKey,
  fits: (instrument: InstrumentView, situation: Situation) => boolean,
): Action {
  return {
    id: `simulate-${action.replace(' ', '-')}`,
    key,
    place: 'simulator',
    label: () => label,
    offered: (situation) => {
      const instrument = simulatedInHand(situation);
      return atBench(situation) && instrument !== null && fits(instrument, situation);
    },
    enabled: () => true,
    async run(situation, hands) {
      const instrumentId = simulatedInHand(situation)?.instrumentId;
      if (instrumentId !== undefined) await hands.ask('simulate', { instrumentId, action });
    },
  };
}

const ofScale = (_: InstrumentView, situation: Situation) =>
  situation.measurement !== null && quantityOf(situation.measurement.unit) === 'mass';
const ofWrench = (_: InstrumentView, situation: Situation) =>
  situation.measurement !== null && quantityOf(situation.measurement.unit) === 'torque';
const isPluggedIn = ({ port }: InstrumentView) => port.state === 'open';
const isPluggedOut = ({ port }: InstrumentView) => port.state !== 'open';

/** What hands and cable do at a simulated bench. Never offered for a real instrument. */
export const simulate: readonly Action[] = [
  movement('dish on', 'F9', 'simulate.dishOn', ofScale),
  movement('squeeze', 'F10', 'simulate.squeeze', ofScale),
  movement('dish off', 'Shift+F9', 'simulate.dishOff', ofScale),
  movement('remove some', 'Ctrl+F10', 'simulate.removeSome', ofScale),
  movement('weak pull', 'F9', 'simulate.weakPull', ofWrench),
  movement('pull', 'F10', 'simulate.pull', ofWrench),
  movement('unplug', 'Ctrl+F9', 'simulate.unplug', isPluggedIn),
  movement('replug', 'Ctrl+F9', 'simulate.replug', isPluggedOut),
];
