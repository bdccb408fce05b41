import type { Permission } from './permission.ts';

/**
 * Management commands that take the PIN of whoever gives them, again, at that moment: they decide who may sign, or
 * bind others. One table for code, screens and tests.
 */
export const signedManagement = [
  'setPin',
  'setOwnPin',
  'setRoles',
  'approveSheet',
  'concedeInstrument',
] as const satisfies readonly Permission[];

/** True where the command takes the PIN. */
export function takesPin(permission: Permission): boolean {
  return (signedManagement as readonly Permission[]).includes(permission);
}
