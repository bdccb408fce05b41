import type { JobCommandKind } from '../job/command.ts';
import type { Refusal } from '../result.ts';
import type { Actor, Role } from './role.ts';

const bench = ['technician', 'lead'] as const;

const jobPermissions = {
  openJob: bench,
  acknowledgeCaution: bench,
  confirmInstruction: bench,
  answerCheck: bench,
  disposePart: bench,
  useConsumable: bench,
  takeTare: bench,
  captureMass: bench,
  captureTorque: bench,
  recordNumeric: bench,
  writeNote: bench,
  signOffStep: bench,
  reopenStep: bench,
  grantConcession: ['lead'],
  holdJob: bench,
  resumeJob: bench,
  handOverJob: bench,
  abandonJob: bench,
  releaseJob: bench,
  voidJob: bench,
  amend: bench,
} as const satisfies Record<JobCommandKind, readonly Role[]>;

/** What each command needs, one table for code, screens and tests. One of the roles is enough. */
export const permissions = {
  ...jobPermissions,
  /** To be the second person at a void: never the one who asks for it. */
  approveVoid: ['lead'],
  draftSheet: ['lead'],
  submitSheet: ['lead'],
  returnSheet: ['lead'],
  approveSheet: ['lead'],
  withdrawSheet: ['lead'],
  registerInstrument: ['lead', 'administrator'],
  addCertificate: ['lead'],
  recordInstrumentCheck: bench,
  concedeInstrument: ['lead'],
  retireInstrument: ['lead', 'administrator'],
  receiveLot: bench,
  openLot: bench,
  blockLot: ['lead'],
  addPerson: ['administrator'],
  setPin: ['administrator'],
  setOwnPin: ['technician', 'lead', 'auditor', 'administrator'],
  setBadge: ['administrator'],
  setRoles: ['administrator'],
  deactivatePerson: ['administrator'],
  /** The list with badges and locked accounts; names alone are on every screen. */
  readPeople: ['administrator'],
  readAudit: ['technician', 'lead', 'auditor', 'administrator'],
  verifyEvidence: ['lead', 'auditor', 'administrator'],
  /** What `doctor` says, on a screen. */
  readHealth: ['lead', 'auditor', 'administrator'],
  exportEvidence: ['lead', 'auditor'],
  backUp: ['administrator'],
  restore: ['administrator'],
  changeSigningKey: ['administrator'],
  configureBench: ['lead', 'administrator'],
} as const satisfies Record<string, readonly Role[]>;
export type Permission = keyof typeof permissions;

/** May a person with these roles do this? */
export function mayDo(roles: readonly Role[], permission: Permission): boolean {
  const allowed: readonly Role[] = permissions[permission];
  return roles.some((role) => allowed.includes(role));
}

/** The refusal of a person whose roles are not enough, or null. */
export function roleRefusal({ roles }: Actor, permission: Permission): Refusal | null {
  if (mayDo(roles, permission)) return null;
  const message = `${permission} takes another role; ask a person who has it.`;
  return { code: 'not_allowed', field: 'personId', message };
}
