import { describe, expect, it } from 'vitest';
import { type JobCommand, type JobCommandKind, jobCommandSchema } from '../../../shared/job/command.ts';
import { decide } from '../../../shared/job/decide.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { mayDo, type Permission, permissions } from '../../../shared/people/permission.ts';
import { roles } from '../../../shared/people/role.ts';
import { makeContext } from '../job/workbench.ts';
import { jobCommands as commands, sheetOfEveryStep as sheet } from './job-commands.ts';

/** Written from the words of the roles, not from the table: technician and lead work, a lead alone concedes. */
const expected: Readonly<Partial<Record<Permission, readonly string[]>>> = {
  grantConcession: ['lead'],
  approveVoid: ['lead'],
  approveSheet: ['lead'],
  addPerson: ['administrator'],
  exportEvidence: ['lead', 'auditor'],
};

function openJob(): JobState {
  const opened = decide(undefined, commands.openJob, makeContext(sheet));
  const state = opened.ok ? foldAll(opened.value) : undefined;
  if (state === undefined) throw new Error('the job did not open');
  return state;
}

describe('every job command tried by every role', () => {
  it('has one command of every kind to try', () => {
    expect(Object.keys(commands).sort()).toEqual(
      jobCommandSchema.options.map((option) => option.shape.kind.value).sort(),
    );
  });
  for (const [kind, command] of Object.entries(commands) as [JobCommandKind, JobCommand][]) {
    for (const role of roles) {
      const allowed = (expected[kind] ?? ['technician', 'lead']).includes(role);
      it(`${kind} by ${role} is ${allowed ? 'not refused for the role' : 'refused'}`, () => {
        const state = kind === 'openJob' ? undefined : openJob();
        // The holder, so that only the role can be what refuses.
        const result = decide(
          state,
          command,
          makeContext(sheet, { person: { personId: 'amber', roles: [role] } }),
        );
        const isRefusedForRole = !result.ok && result.error.code === 'not_allowed';
        expect(isRefusedForRole).toBe(!allowed);
      });
    }
  }
  it('a person without any role may do nothing at all', () => {
    for (const command of Object.values(commands)) {
      const result = decide(
        openJob(),
        command,
        makeContext(sheet, { person: { personId: 'amber', roles: [] } }),
      );
      expect(result).toMatchObject({ ok: false, error: { code: 'not_allowed' } });
    }
  });
});

describe('the role table', () => {
  it('names only roles that there are, and at least one for everything', () => {
    for (const allowed of Object.values(permissions)) {
      expect(allowed.length).toBeGreaterThan(0);
      expect(allowed.every((role) => (roles as readonly string[]).includes(role))).toBe(true);
    }
  });
  it('gives leads alone what binds others', () => {
    for (const [permission, allowed] of Object.entries(expected) as [Permission, readonly string[]][]) {
      expect(roles.filter((role) => mayDo([role], permission))).toEqual(allowed);
    }
  });
  it('lets an auditor read and export, and change nothing', () => {
    const granted = (Object.keys(permissions) as Permission[]).filter((permission) =>
      mayDo(['auditor'], permission),
    );
    expect(granted.sort()).toEqual([
      'exportEvidence',
      'readAudit',
      'readHealth',
      'setOwnPin',
      'verifyEvidence',
    ]);
  });
  it('adds up the roles of a person who has several', () => {
    expect(mayDo(['auditor', 'technician'], 'openJob')).toBe(true);
    expect(mayDo(['auditor', 'administrator'], 'openJob')).toBe(false);
  });
});
