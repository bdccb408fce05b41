import { describe, expect, it } from 'vitest';
import { decideLot } from '../../../shared/consumable/decide-lot.ts';
import { decideInstrument } from '../../../shared/instrument/decide-instrument.ts';
import { type ManagementCommand, managementCommandSchema } from '../../../shared/management-command.ts';
import { decidePerson } from '../../../shared/people/decide-person.ts';
import type { Actor } from '../../../shared/people/role.ts';
import { roles } from '../../../shared/people/role.ts';
import { signedManagement, takesPin } from '../../../shared/people/signature.ts';
import type { Result } from '../../../shared/result.ts';
import { decideSheet, sheetCommandSchema } from '../../../shared/sheet/decide-sheet.ts';
import { foldSheet, type SheetState } from '../../../shared/sheet/revision.ts';
import { at, hash, people } from '../job/workbench.ts';
import { managementCommands, whoMay } from './management-commands.ts';

const commands = Object.values(managementCommands).map((command) => managementCommandSchema.parse(command));

function submitted(): SheetState {
  const context = { at, person: people.dune, pinVerified: true };
  let state: SheetState | undefined;
  for (const command of [managementCommands.draftSheet, managementCommands.submitSheet]) {
    const events = decideSheet(state, sheetCommandSchema.parse(command), context);
    if (!events.ok) throw new Error(events.error.message);
    for (const event of events.value) state = foldSheet(state, event);
  }
  if (state === undefined) throw new Error('no sheet');
  return state;
}

/** Runs any of the commands where nothing but role and PIN need stand against it. */
function decide(command: ManagementCommand, person: Actor, pinVerified: boolean): Result<readonly object[]> {
  const context = { at, person, pinVerified, invented: true };
  switch (command.kind) {
    case 'receiveLot':
    case 'openLot':
    case 'blockLot':
      return decideLot(undefined, command, context);
    case 'draftSheet':
    case 'submitSheet':
    case 'returnSheet':
    case 'approveSheet':
    case 'withdrawSheet':
      return decideSheet(command.kind === 'draftSheet' ? undefined : submitted(), command, context);
    case 'registerInstrument':
    case 'addCertificate':
    case 'recordInstrumentCheck':
    case 'concedeInstrument':
    case 'retireInstrument':
      return decideInstrument(command, { ...context, instruments: [], simulated: true, hashOf: () => hash });
    default:
      return decidePerson(command, { ...context, people: [] });
  }
}

describe('every management command tried by every role', () => {
  it('has one command of every kind to try', () => {
    const kinds = managementCommandSchema.options.flatMap((family) =>
      family.options.map((option) => option.shape.kind.value),
    );
    expect(Object.keys(managementCommands).sort()).toEqual([...kinds].sort());
  });

  for (const command of commands) {
    for (const role of roles) {
      const allowed = whoMay[command.kind].includes(role);
      it(`${command.kind} by ${role} is ${allowed ? 'not refused for the role' : 'refused'}`, () => {
        const result = decide(command, { personId: 'someone', roles: [role] }, true);
        expect(!result.ok && result.error.code === 'not_allowed').toBe(!allowed);
      });
    }
  }

  it('is refused to a person without any role', () => {
    for (const command of commands) {
      const result = decide(command, { personId: 'someone', roles: [] }, true);
      expect(result).toMatchObject({ ok: false, error: { code: 'not_allowed', field: 'personId' } });
    }
  });
});

describe('the PIN', () => {
  it('is asked for by exactly the commands of the table', () => {
    const asking = commands.filter((command) => {
      const result = decide(command, { personId: 'someone', roles }, false);
      return !result.ok && result.error.code === 'pin_required';
    });
    expect(asking.map(({ kind }) => kind).sort()).toEqual([...signedManagement].sort());
    expect(takesPin('openLot')).toBe(false);
  });
});
