import { describe, expect, it } from 'vitest';
import { createRandom } from '../../drivers/simulated/random.ts';
import { copyAtEveryCommit } from './faults/copies.ts';
import { fillSmallFileSystem, troubles, troubleTheDisk } from './faults/disks.ts';
import { jumpTheClock } from './faults/jumps.ts';
import { killFirstStart, killStation } from './faults/kills.ts';
import { type FaultRow, quantile, tableOf } from './faults/row.ts';
import { cutScreens, killServedStation, killWindowProgram } from './faults/screens.ts';
import { spoilConveniences, spoilEvidence } from './faults/spoiled-files.ts';
import { takeRightsAway } from './faults/unwritable.ts';

// The short run of `npm run faults`.
const random = createRandom(8);

function expectWithstood(row: FaultRow): void {
  expect({ lost: row.lost, duplicated: row.duplicated, complaints: row.complaints }).toEqual({
    lost: 0,
    duplicated: 0,
    complaints: [],
  });
  expect(row.rounds).toBeGreaterThan(0);
}

describe('a station at work on many jobs loses nothing that it acknowledged and does nothing twice', {
  timeout: 90_000,
}, () => {
  it('when it is killed', async () => {
    const row = await killStation(3, random);
    expectWithstood(row);
    expect(row.acknowledged).toBeGreaterThan(10);
    expect(row.recoveredMilliseconds).toHaveLength(3);
  });

  it('when it is killed in its very first start', async () => {
    expectWithstood(await killFirstStart(2, random));
  });

  it('when it is killed while screens command it', async () => {
    const row = await killServedStation(1, random);
    expectWithstood(row);
    expect(row.acknowledged).toBeGreaterThan(0);
  });

  it('when the window program above it is killed: it ends by itself', async () => {
    expectWithstood(await killWindowProgram(1, random));
  });

  it('when screens are cut off in the middle of commands', async () => {
    expectWithstood(await cutScreens(3, random));
  });

  it('when the disk is full at the n-th write, n = 1, 2, 3 …', async () => {
    const row = await troubleTheDisk(troubles.fullDisk, 60);
    expectWithstood(row);
    expect(row.rounds).toBe(60);
  });

  it('when a file system has only so many pages left', async () => {
    // Undefined where none may be mounted: then the limit of the test before stands alone.
    const row = await fillSmallFileSystem(40);
    if (row !== undefined) expectWithstood(row);
  });

  it('when the disk fails at a write, and at the sync', async () => {
    const failing = await troubleTheDisk(troubles.failingWrites, 25);
    expectWithstood(failing);
    const unsynced = await troubleTheDisk(troubles.failingSync, 25);
    expectWithstood(unsynced);
    expect([failing.rounds, unsynced.rounds]).toEqual([25, 25]);
  });

  it('when another program holds the database', async () => {
    expectWithstood(await troubleTheDisk(troubles.heldDatabase, 1));
  });

  it('when the rights of its folder are taken away', async () => {
    // Three jobs opened a round: into a closed folder, without a head in it, and with the rights back.
    const row = await takeRightsAway(2);
    expectWithstood(row);
    expect(row.acknowledged).toBe(6);
  });

  it('where its files are copied at every commit', async () => {
    expectWithstood(await copyAtEveryCommit(14));
  });

  it('when files of the evidence are spoiled: said in a sentence, kept, and there is a way on', async () => {
    expectWithstood(await spoilEvidence(35, random));
  });

  it('when settings and sessions are spoiled', async () => {
    expectWithstood(await spoilConveniences(4, random));
  });

  it('when the wall clock is set back and forward: order stays, the jump is noted', async () => {
    const row = await jumpTheClock(24);
    expectWithstood(row);
    expect(row.note).toContain('12 jumps noted');
  });
});

describe('the table of faults', () => {
  it('gives quantiles by nearest rank', () => {
    expect([quantile([3, 1, 2], 0.5), quantile([3, 1, 2], 0.99), quantile([7], 0.5)]).toEqual([2, 3, 7]);
    expect(quantile([], 0.5)).toBeNaN();
  });

  it('has a line for each fault', () => {
    const row: FaultRow = {
      fault: 'invented',
      rounds: 10,
      acknowledged: 5,
      captures: 2,
      lost: 0,
      duplicated: 0,
      recoveredMilliseconds: [12, 30],
      complaints: [],
      note: 'a note',
    };
    const [heading, line] = tableOf([row]).split('\n');
    expect(heading).toContain('acknowledged');
    expect(line?.split(/ {2,}/)).toEqual(['invented', '10', '5', '2', '0', '0', '12', '30', 'a note']);
  });
});
