import type { ManagementCommandInput, ManagementCommandKind } from '../../../shared/management-command.ts';
import type { Role } from '../../../shared/people/role.ts';
import { makeSheet, makeStep, text } from '../job/workbench.ts';

const to = { sheetId: 'sheet-test', revision: 1 };

/** One well-formed command of every kind. */
export const managementCommands: {
  readonly [Kind in ManagementCommandKind]: Extract<ManagementCommandInput, { kind: Kind }>;
} = {
  addPerson: { kind: 'addPerson', personId: 'heath', name: 'Technician Heath', roles: ['technician'] },
  setPin: { kind: 'setPin', personId: 'amber', newPin: '2491' },
  setOwnPin: { kind: 'setOwnPin', newPin: '2491' },
  setBadge: { kind: 'setBadge', personId: 'amber', badge: 'BADGE-NEW' },
  setRoles: { kind: 'setRoles', personId: 'amber', roles: ['technician', 'lead'] },
  deactivatePerson: { kind: 'deactivatePerson', personId: 'birch', reason: 'Left the workshop.' },
  registerInstrument: {
    kind: 'registerInstrument',
    instrumentId: 'scale-new',
    entry: {
      kind: 'scale',
      name: 'Bench scale, new',
      profileName: 'scale-comma-header',
      unit: null,
      serialNumber: 'SC-NEW',
      portIdentity: {},
      simulated: true,
      invented: true,
      metrology: {
        quantity: 'mass',
        unit: 'g',
        ranges: [{ upTo: 3200, resolution: 0.01 }],
        repeatability: { standardDeviation: 0.005, degreesOfFreedom: 9 },
        maximumPermissibleError: { kind: 'absolute', value: 0.05 },
      },
      accuracyClass: 'II',
      checkEveryHours: 24,
      correctByCertificate: true,
    },
  },
  addCertificate: {
    kind: 'addCertificate',
    instrumentId: 'scale-1',
    certificate: {
      number: 'INVENTED-M-0900',
      provider: 'Invented calibration bench',
      reference: 'Invented class F2 weights',
      date: '2026-11-20',
      due: '2027-11-20',
      unit: 'g',
      asLeft: [
        { reference: 0, error: 0, expanded: 0.01, k: 2 },
        { reference: 3200, error: 0.02, expanded: 0.1, k: 2 },
      ],
    },
  },
  recordInstrumentCheck: {
    kind: 'recordInstrumentCheck',
    instrumentId: 'scale-1',
    reference: { name: 'Check weight 200 g', value: 200, unit: 'g', weightClass: 'F2' },
    indication: { value: 200.01, unit: 'g' },
  },
  concedeInstrument: {
    kind: 'concedeInstrument',
    instrumentId: 'scale-1',
    reason: 'The only scale left until Friday.',
    until: '2026-11-27T18:00:00.000+01:00',
  },
  retireInstrument: { kind: 'retireInstrument', instrumentId: 'scale-1', reason: 'Dropped.' },
  receiveLot: {
    kind: 'receiveLot',
    lotId: 'LOT-NEW',
    consumableId: 'grease-blue',
    name: text('Blue bench grease'),
    expiry: '2028-01-31',
    quantity: 400,
    unit: 'g',
    usableDaysAfterOpening: 180,
  },
  openLot: { kind: 'openLot', lotId: 'LOT-1' },
  blockLot: { kind: 'blockLot', lotId: 'LOT-1', reason: 'Oil has separated.' },
  draftSheet: {
    kind: 'draftSheet',
    sheet: makeSheet([makeStep.instruction('clean'), makeStep.signOff('sign')]),
  },
  submitSheet: { kind: 'submitSheet', ...to },
  returnSheet: { kind: 'returnSheet', ...to, reason: 'Torque is missing its source.' },
  approveSheet: { kind: 'approveSheet', ...to },
  withdrawSheet: { kind: 'withdrawSheet', ...to, reason: 'Wrong torque.' },
};

const lead = ['lead'] as const;
const atBench = ['technician', 'lead'] as const;
const administrator = ['administrator'] as const;

/** Written from the words of the roles, not from the table of the code. */
export const whoMay: Readonly<Record<ManagementCommandKind, readonly Role[]>> = {
  addPerson: administrator,
  setPin: administrator,
  setOwnPin: ['technician', 'lead', 'auditor', 'administrator'],
  setBadge: administrator,
  setRoles: administrator,
  deactivatePerson: administrator,
  registerInstrument: ['lead', 'administrator'],
  addCertificate: lead,
  recordInstrumentCheck: atBench,
  concedeInstrument: lead,
  retireInstrument: ['lead', 'administrator'],
  receiveLot: atBench,
  openLot: atBench,
  blockLot: lead,
  draftSheet: lead,
  submitSheet: lead,
  returnSheet: lead,
  approveSheet: lead,
  withdrawSheet: lead,
};
