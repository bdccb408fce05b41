import { createSystemClock } from '../../../drivers/port/clock.ts';
import { seedDemoWorkshop } from '../../../electron/station/demo-workshop.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';

/** scrypt at its cheapest: nothing here is about guessing PINs. */
const cheapHashing = { cost: 16, blockSize: 1, parallelization: 1 };

/**
 * Makes a data folder of the invented demo workshop.
 *
 * @param scalePath where its scale is plugged in, so that the bench is fed from outside; undefined: it is simulated
 */
export async function makeSpeedWorkshop(folder: string, scalePath: string | undefined): Promise<void> {
  const clock = createSystemClock();
  const demo = loadDemoWorkshop();
  const instruments = demo.instruments.map((instrument) =>
    scalePath === undefined || instrument.instrumentId !== 'scale-1'
      ? instrument
      : {
          ...instrument,
          entry: { ...instrument.entry, simulated: false, portIdentity: { path: scalePath } },
        },
  );
  const store = openStore({ folder, clock, createId: () => 'speed-station', rules: jobEvidence });
  await seedDemoWorkshop(store, clock, cheapHashing, { ...demo, instruments });
  store.close();
}
