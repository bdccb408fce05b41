import type { Store } from '../store/store.ts';
import type { InventedReferences } from './invented-job.ts';

/** A scale that writes `ST,GS,+0086.40  g`. */
const scaleProfile = {
  invented: true,
  name: 'invented-scale',
  revision: 1,
  kind: 'mass',
  serial: { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 },
  mode: 'continuous',
  frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'drop' },
  pattern: '^(?<st>ST|US),GS,(?<sign>[+-])(?<value>\\d+\\.\\d+) +(?<unit>g)$',
  stability: { group: 'st', stable: ['ST'], unstable: ['US'] },
  units: { g: 'g' },
  range: { g: [-10, 3100] },
};

/** A wrench that writes `PK,0026.80,N.m` at the end of a pull. */
const wrenchProfile = {
  invented: true,
  name: 'invented-wrench',
  revision: 1,
  kind: 'torque',
  serial: { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 },
  mode: 'one line per pull',
  frame: { ends: ['0d0a'], max_bytes: 64, first_line: 'drop' },
  pattern: '^(?<tag>PK),(?<value>\\d+\\.\\d+),(?<unit>N\\.m)$',
  tags: { group: 'tag', map: { PK: 'peak' } },
  units: { 'N.m': 'N.m' },
  range: { 'N.m': [0, 100] },
};

/** As much of a sheet as names its steps. */
const sheet = {
  invented: true,
  sheetId: 'invented-sheet',
  revision: 1,
  head: { name: { en: 'Invented gear head', de: 'Erfundener Getriebekopf' } },
  steps: [
    { stepId: 'make-safe', title: { en: 'Make safe', de: 'Sichern' } },
    { stepId: 'grease', title: { en: 'Lot of the grease', de: 'Charge des Fetts' } },
    { stepId: 'fill', title: { en: 'Fill the outer recess', de: 'Äußere Kammer füllen' } },
    { stepId: 'ring', title: { en: 'Tighten the lock ring', de: 'Sicherungsring anziehen' } },
  ],
};

/** Puts the documents that invented jobs refer to. All of them say that they are invented. */
export function putInventedDocuments(store: Pick<Store, 'putDocument'>): InventedReferences {
  return {
    sheetHash: store.putDocument('sheet', sheet),
    scaleProfileHash: store.putDocument('profile', scaleProfile),
    wrenchProfileHash: store.putDocument('profile', wrenchProfile),
    scaleCertificateHash: store.putDocument('certificate', { invented: true, number: 'INV-scale-1' }),
    wrenchCertificateHash: store.putDocument('certificate', { invented: true, number: 'INV-wrench-1' }),
  };
}
