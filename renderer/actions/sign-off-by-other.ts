import { type Action, atStep, toStep } from './action.ts';
import { askForCommand } from './ask-for-command.ts';
import { peopleWho } from './people-who.ts';

/** Lets another person with the role that the step asks for sign it on this screen. */
export const signOffByOther: Action = {
  id: 'sign-off-by-other',
  key: 'Shift+F5',
  place: 'job menu',
  label: () => 'action.signOffByOther',
  offered: (situation) => atStep(situation, 'signOff'),
  enabled: () => true,
  run(situation, hands) {
    const step = toStep(situation);
    if (step === null || situation.step?.kind !== 'signOff') return;
    const { roles } = situation.step;
    askForCommand(hands, {
      title: 'action.signOffByOther',
      explanation: 'question.signOff',
      fields: [
        { name: 'personId', kind: 'person', label: 'field.person', people: peopleWho(situation, roles) },
        { name: 'pin', kind: 'pin', label: 'field.pin' },
      ],
      confirm: 'action.signOffStep',
      answer: ({ personId = '', pin = '' }) => ({ command: { kind: 'signOffStep', ...step }, personId, pin }),
    });
  },
};
