import type { CallParameters } from '../../shared/contract.ts';
import type { Question } from '../state/screen-store.ts';
import { failureOf, type Hands } from './action.ts';

/** A question whose answers make a command for the job in hand. */
export interface CommandQuestion extends Omit<Question, 'submit' | 'confirm'> {
  /** The word on the button; the title, unless another is given. */
  readonly confirm?: Question['confirm'];
  answer(values: Readonly<Record<string, string>>): CallParameters<'command'>;
}

/** Asks in a dialog, which stays open with what is wrong until the station takes the command or the person gives up. */
export function askForCommand(hands: Hands, { answer, confirm, ...question }: CommandQuestion): void {
  hands.open({
    kind: 'question',
    question: {
      ...question,
      confirm: confirm ?? question.title,
      submit: async (values) => failureOf(await hands.call('command', answer(values))),
    },
  });
}
