import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type CallName, type CallParameters, callParameters } from '../../shared/contract.ts';
import type { JobCommand } from '../../shared/job/command.ts';
import type { ManagementCommandInput } from '../../shared/management-command.ts';
import { type Role, roles } from '../../shared/people/role.ts';
import { jobCommands } from '../shared/people/job-commands.ts';
import { managementCommands, whoMay } from '../shared/people/management-commands.ts';
import { demoPins, TestBench, type TestScreen } from './test-station.ts';

/** One person of the demo workshop for each role. */
const personOf = { technician: 'amber', lead: 'cedar', auditor: 'flint', administrator: 'quartz' } as const;
const atBench: readonly Role[] = ['technician', 'lead'];

interface Trial<Name extends CallName> {
  /** Written from the words of the roles, not from the table of the code. */
  readonly mayCall: readonly Role[];
  readonly parameters: CallParameters<Name>;
}

/** Every call besides those tried further down, with parameters that are well formed. */
const trials: {
  readonly [Name in Exclude<
    CallName,
    'signIn' | 'signOut' | 'command' | 'manage' | 'setUp' | 'siteChains' | 'siteLot'
  >]: Trial<Name>;
} = {
  lookUpSerial: { mayCall: atBench, parameters: { serial: 'SLT-1001' } },
  takeInHand: { mayCall: atBench, parameters: { jobId: null } },
  assignInstrument: { mayCall: atBench, parameters: { instrumentId: 'wrench-1' } },
  adjustInstrument: { mayCall: atBench, parameters: { instrumentId: 'wrench-1', action: 'tare' } },
  simulate: { mayCall: atBench, parameters: { instrumentId: 'scale-1', action: 'dish off' } },
  timeline: { mayCall: roles, parameters: { serial: 'SLT-1001' } },
  findSerials: { mayCall: roles, parameters: { text: 'SLT' } },
  searchJobs: { mayCall: roles, parameters: { filter: { headId: 'head-slate' }, before: null } },
  searchChoices: { mayCall: roles, parameters: {} },
  processChart: { mayCall: roles, parameters: { filter: { quantity: 'mass' } } },
  checkChart: { mayCall: roles, parameters: { instrumentId: 'scale-1' } },
  calibratedInstruments: { mayCall: roles, parameters: {} },
  savedViews: { mayCall: roles, parameters: {} },
  saveView: { mayCall: roles, parameters: { view: { name: 'Failed', filter: { decision: 'fail' } } } },
  removeView: { mayCall: roles, parameters: { name: 'Failed' } },
  startExport: {
    mayCall: ['lead', 'auditor'],
    parameters: { format: 'csv', filter: { serial: 'SLT-1001' }, language: 'en' },
  },
  startImpact: {
    mayCall: ['lead', 'auditor'],
    parameters: { instrumentId: 'scale-1', certificateHash: 'ab'.repeat(32), language: 'en' },
  },
  stopExport: { mayCall: ['lead', 'auditor'], parameters: { exportId: 'none' } },
  serialDocument: { mayCall: roles, parameters: { serial: 'SLT-1001', language: 'de' } },
  verify: { mayCall: ['lead', 'auditor', 'administrator'], parameters: {} },
  stopVerify: { mayCall: ['lead', 'auditor', 'administrator'], parameters: {} },
  document: { mayCall: roles, parameters: { jobId: 'job-none', kind: 'record' } },
  sheets: { mayCall: roles, parameters: {} },
  register: { mayCall: roles, parameters: {} },
  lots: { mayCall: roles, parameters: {} },
  lotUses: { mayCall: roles, parameters: { lotId: 'LOT-BLUE-01' } },
  ports: { mayCall: roles, parameters: {} },
  instrumentLines: { mayCall: roles, parameters: { instrumentId: 'scale-1' } },
  teach: { mayCall: ['lead', 'administrator'], parameters: {} },
  teachListen: {
    mayCall: ['lead', 'administrator'],
    parameters: { portId: 'no-port', baud: 9600, format: '8N1' },
  },
  teachStop: { mayCall: ['lead', 'administrator'], parameters: {} },
  teachConfirm: {
    mayCall: ['lead', 'administrator'],
    parameters: { heardBytes: 0, text: '12.34', unit: 'g', state: 'stable' },
  },
  teachSave: {
    mayCall: ['lead', 'administrator'],
    parameters: { name: 'taught', title: { en: 'Taught', de: 'Gelernt' }, torque: null, division: null },
  },
  sheetRevisions: { mayCall: roles, parameters: {} },
  health: { mayCall: ['lead', 'auditor', 'administrator'], parameters: {} },
  peopleAdmin: { mayCall: ['administrator'], parameters: {} },
};
const calls = Object.entries(trials) as [CallName, Trial<CallName>][];

const bench = new TestBench();
beforeAll(() => bench.open());
afterAll(() => bench.end());

function isVerifyFinished({ news }: TestScreen): boolean {
  return news.some((item) => item.news === 'verify' && item.progress.finished);
}

describe('every call to the station tried by every role', () => {
  it('has a trial for every call that there is', () => {
    const tried = [
      ...Object.keys(trials),
      'signIn',
      'signOut',
      'command',
      'manage',
      'setUp',
      'siteChains',
      'siteLot',
    ];
    expect(tried.sort()).toEqual(Object.keys(callParameters).sort());
  });

  for (const [name, { mayCall, parameters }] of calls) {
    for (const role of roles) {
      const allowed = mayCall.includes(role);
      it(`${name} by ${role} is ${allowed ? 'not refused for the role' : 'refused'}`, async () => {
        const screen = bench.screen(personOf[role]);
        const code = await bench.codeOf(screen, name, parameters);
        expect(code === 'not_allowed').toBe(!allowed);
        expect(code).not.toBe('bad_parameters');
        // It reads the folder in a worker, which must not go away meanwhile.
        if (name === 'verify' && allowed)
          await expect.poll(() => isVerifyFinished(screen), { timeout: 15_000 }).toBe(true);
      });
    }
  }

  it('answers nothing to a screen where nobody is signed in', async () => {
    const nobody = bench.screen(null);
    for (const [name, { parameters }] of calls) {
      expect([name, await bench.codeOf(nobody, name, parameters)]).toEqual([name, 'not_signed_in']);
    }
    const command = jobCommands.openJob;
    expect(await bench.codeOf(nobody, 'command', { command })).toBe('not_signed_in');
    expect(await bench.codeOf(nobody, 'manage', { command: managementCommands.openLot })).toBe(
      'not_signed_in',
    );
  });

  it('sets nothing up anew and knows no site, whoever asks', async () => {
    for (const person of [null, 'quartz'] as const) {
      expect(await bench.codeOf(bench.screen(person), 'setUp', { kind: 'demo' })).toBe('set_up_already');
      expect(await bench.codeOf(bench.screen(person), 'siteChains', {})).toBe('no_site_desk');
      expect(await bench.codeOf(bench.screen(person), 'siteLot', { lotId: 'lot-1' })).toBe('no_site_desk');
    }
  });

  it('lets whoever signs in sign out again', async () => {
    for (const role of roles) {
      const screen = bench.screen(null);
      const personId = personOf[role];
      await bench.mustCall(screen, 'signIn', { personId, pin: demoPins[personId] });
      expect(screen.session.personId).toBe(personId);
      await bench.mustCall(screen, 'signOut', {});
      expect(screen.session.personId).toBeNull();
    }
  });
});

describe('every job command tried by every role at the station', () => {
  for (const command of Object.values(jobCommands) as JobCommand[]) {
    for (const role of roles) {
      const allowed = (command.kind === 'grantConcession' ? ['lead'] : atBench).includes(role);
      it(`${command.kind} by ${role} is ${allowed ? 'not refused for the role' : 'refused'}`, async () => {
        const code = await bench.codeOf(bench.screen(personOf[role]), 'command', { command });
        // Where the role may, there is no such job or head here: nothing is changed either way.
        expect(code).toBe(
          allowed ? (command.kind === 'openJob' ? 'sheet_missing' : 'no_such_job') : 'not_allowed',
        );
      });
    }
  }
});

describe('every management command tried by every role at the station', () => {
  /** Refused for another reason than the role, so that the trials do not change what the next one meets. */
  const harmless = (command: ManagementCommandInput): ManagementCommandInput => {
    if ('instrumentId' in command && command.kind !== 'registerInstrument') {
      return { ...command, instrumentId: 'none' };
    }
    if ('personId' in command && command.kind !== 'addPerson') return { ...command, personId: 'none' };
    switch (command.kind) {
      case 'addPerson':
        return { ...command, personId: 'amber' };
      case 'registerInstrument':
        return { ...command, entry: { ...command.entry, profileName: 'none' } };
      case 'receiveLot':
        return { ...command, expiry: '2020-01-31' };
      case 'setOwnPin':
        return { ...command, newPin: '1234' };
      case 'draftSheet':
        return { ...command, sheet: { ...command.sheet, revision: 7 } };
      default:
        return command;
    }
  };

  for (const [kind, command] of Object.entries(managementCommands)) {
    for (const role of roles) {
      const allowed = whoMay[command.kind].includes(role);
      it(`${kind} by ${role} is ${allowed ? 'not refused for the role' : 'refused'}`, async () => {
        const before = bench.station.store.lastSequence();
        const screen = bench.screen(personOf[role]);
        const code = await bench.codeOf(screen, 'manage', { command: harmless(command) });
        expect(code === 'not_allowed').toBe(!allowed);
        expect(['bad_parameters', 'taken']).not.toContain(code);
        expect(bench.station.store.lastSequence()).toBe(before);
      });
    }
  }

  it('is refused for the role before a PIN is tried, so that nobody can lock another out this way', async () => {
    const screen = bench.screen('amber');
    const command = managementCommands.concedeInstrument;
    for (let tries = 0; tries < 12; tries += 1) {
      expect(await bench.codeOf(screen, 'manage', { command, personId: 'birch', pin: '0000' })).toBe(
        'not_allowed',
      );
    }
    await bench.mustCall(screen, 'signIn', { personId: 'birch', pin: demoPins.birch });
  });
});
