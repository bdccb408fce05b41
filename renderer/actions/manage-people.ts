import { checkNewPin } from '../../shared/people/pin-policy.ts';
import { type Role, roleSchema, roles } from '../../shared/people/role.ts';
import type { Result } from '../../shared/result.ts';
import { ok, refuse } from '../../shared/result.ts';
import { chosenAccount } from '../state/desk-state.ts';
import type { QuestionField } from '../state/screen-store.ts';
import type { Situation } from '../state/situation.ts';
import { atDesk, signedInMay } from './manage.ts';

/** The roles as boxes to tick. */
export function rolesField(initial: readonly Role[]): QuestionField {
  return {
    name: 'roles',
    kind: 'several',
    label: 'field.roles',
    choices: roles.map((value) => ({ value, label: { key: `role.${value}` } as const })),
    initial: initial.join(' '),
  };
}

export function rolesTyped(text: string): Role[] {
  return text.split(' ').flatMap((word) => {
    const role = roleSchema.safeParse(word);
    return role.success ? [role.data] : [];
  });
}

/** Both fields of a new PIN. */
export const newPinFields: readonly QuestionField[] = [
  { name: 'newPin', kind: 'pin', label: 'field.newPin' },
  { name: 'newPinAgain', kind: 'pin', label: 'field.newPinAgain' },
];

/** The new PIN, typed twice alike and fit to be set; the station checks it again. */
export function newPinTyped({
  newPin = '',
  newPinAgain = '',
}: Readonly<Record<string, string>>): Result<string> {
  const fit = checkNewPin(newPin);
  if (!fit.ok) return fit;
  return newPin === newPinAgain
    ? ok(newPin)
    : refuse('pins_differ', 'newPinAgain', 'The two new PINs differ; type both again.');
}

/** Is an account that is still active chosen, by somebody who may change it? */
export function atAccount(
  situation: Situation,
  permission: 'setPin' | 'setBadge' | 'setRoles' | 'deactivatePerson',
): boolean {
  return signedInMay(situation, permission) && chosenAccount(situation.screen.desk)?.active === true;
}

export function atPeople(situation: Situation): boolean {
  return atDesk(situation, 'people') && signedInMay(situation, 'readPeople');
}
