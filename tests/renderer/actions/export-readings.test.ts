import { expect, it } from 'vitest';
import type { Hands } from '../../../renderer/actions/action.ts';
import { fetchExport, startExport } from '../../../renderer/actions/export-readings.ts';
import { emptyAudit } from '../../../renderer/state/audit-state.ts';
import { createScreenStore } from '../../../renderer/state/screen-store.ts';
import { type Situation, situationOf } from '../../../renderer/state/situation.ts';
import type { ExportProgress } from '../../../shared/audit/view.ts';
import type { Snapshot } from '../../../shared/contract.ts';
import { atStart } from '../situations.ts';

const flint: Snapshot['signedIn'] = { personId: 'flint', name: 'Flint', roles: ['auditor'] };
const exported: ExportProgress = {
  exportId: 'first',
  state: 'ready',
  done: 3,
  total: 3,
  omitted: 0,
  url: '/exports/first/readings.csv',
  message: null,
};

it.each([
  ['until there is one', { value: { exportId: 'second' } }, false],
  ['and is there again where the new one is refused', null, true],
])('the file of an export cannot be fetched for that of the next, %s', async (_, answer, isThereAgain) => {
  let audit = { ...emptyAudit, exportId: 'first' };
  const situation = (): Situation =>
    situationOf(
      {
        connection: 'connected',
        snapshot: { ...atStart, people: [flint], signedIn: flint },
        verify: null,
        exported,
        impact: null,
      },
      { ...createScreenStore().getState(), screen: 'audit', audit: { ...audit, tab: 'export' } },
    );
  const asked = Promise.withResolvers<typeof answer>();
  const hands = {
    ask: () => asked.promise,
    language: () => 'en',
    setAudit: (change: Partial<typeof audit>) => {
      audit = { ...audit, ...change };
    },
  };
  expect(fetchExport.enabled(situation())).toBe(true);
  const started = startExport.run(situation(), hands as never as Hands);
  expect(fetchExport.enabled(situation())).toBe(false);
  asked.resolve(answer);
  await started;
  expect(fetchExport.enabled(situation())).toBe(isThereAgain);
});
