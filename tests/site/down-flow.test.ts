import { execFile } from 'node:child_process';
import { generateKeyPairSync } from 'node:crypto';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { runVerify } from '../../electron/station/audit/verify-run.ts';
import { type SigningKey, signingKeyOf } from '../../electron/station/signing-key.ts';
import { PublicationDesk } from '../../electron/station/site/publication-desk.ts';
import { publish } from '../../electron/station/site/publish.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import type { ServiceSheet } from '../../shared/sheet/sheet.ts';
import type { Publication, PublicationContent } from '../../shared/site/publication.ts';
import { TestBench } from '../station/test-station.ts';
import { SiteBench } from './site-bench.ts';

let site: SiteBench;
const key = signingKeyOf(generateKeyPairSync('ed25519').privateKey);
beforeAll(async () => {
  site = await SiteBench.start();
  await site.addReader('publisher', 'publisher');
  await site.addBench('bench-1');
});
afterAll(() => site.end());

let bench: TestBench;
beforeEach(async () => {
  bench = await new TestBench().open();
});
afterEach(() => bench.end());

function publishAll(contents: readonly PublicationContent[], by: SigningKey = key): Promise<unknown> {
  return site.as('publisher', async (client) => {
    for (const content of contents) await publish(client, by, content);
  });
}

async function published(): Promise<readonly Publication[]> {
  const session = await site.session('bench-1');
  try {
    return await session.publishedSince(0, 1000);
  } finally {
    await session.close();
  }
}

function firstSheet(): ServiceSheet {
  return bench.station.sheets.inForce()[0]!;
}

function nextSheet(title: string): PublicationContent {
  const sheet = firstSheet();
  return {
    kind: 'sheet',
    sheet: {
      ...sheet,
      revision: sheet.revision + 1,
      effectiveFrom: '2026-01-01',
      title: { ...sheet.title, en: title },
    },
    ...{ author: 'quill', approvedBy: 'reed', approvedAt: '2026-03-02T08:00:00.000+01:00', withdrawn: null },
  };
}

const person: PublicationContent = {
  ...{
    kind: 'person',
    personId: 'heron',
    name: 'Heron',
    roles: ['technician'],
    badge: 'DEMO-HERON',
    pin: null,
  },
  ...{ active: true, invented: true },
};

describe('what the site publishes', () => {
  it('comes into force at a bench with its revisions, once, and the bench keeps what was signed', async () => {
    await publishAll([nextSheet('From the site'), person, { ...person, roles: ['technician', 'lead'] }]);
    const desk = new PublicationDesk(bench.station, key.publicKey);
    const all = await published();
    expect(all.map(({ number, revision }) => [number, revision])).toEqual([
      [1, 1],
      [2, 1],
      [3, 2],
    ]);
    desk.take(all);
    desk.take(all);
    expect(desk.takenUpTo()).toBe(3);
    expect(firstSheet().title.en).toBe('From the site');
    expect(bench.station.people.find({ badge: 'DEMO-HERON' })?.roles).toEqual(['technician', 'lead']);
    expect(bench.station.store.documentsOfKind('publication')).toHaveLength(3);

    await bench.restart();
    const again = new PublicationDesk(bench.station, key.publicKey);
    expect(again.takenUpTo()).toBe(3);
    again.take(all);
    expect(bench.station.store.documentsOfKind('publication')).toHaveLength(3);
    expect(bench.station.people.find({ personId: 'heron' })?.roles).toEqual(['technician', 'lead']);
    expect(await runVerify({ folder: bench.folder, onProblem: () => undefined })).toMatchObject({
      intact: true,
    });
  });

  it('is not taken when another key signed it, it was altered, or one before it is missing', async () => {
    const other = signingKeyOf(generateKeyPairSync('ed25519').privateKey);
    const all = await published();
    const spoiled: readonly (readonly Publication[])[] = [
      [all[1]!],
      [{ ...all[0]!, content: { ...person, name: 'Somebody else' } }],
      [{ ...all[0]!, revision: 7 }],
    ];
    for (const some of spoiled) {
      const desk = new PublicationDesk(bench.station, key.publicKey);
      desk.take(some);
      expect(desk.takenUpTo()).toBe(0);
    }
    const desk = new PublicationDesk(bench.station, other.publicKey);
    desk.take(all);
    expect(desk.takenUpTo()).toBe(0);
    expect(bench.station.people.find({ personId: 'heron' })).toBeUndefined();
    expect(bench.station.snapshot(bench.screen(null).session).faults.map(({ code }) => code)).toContain(
      'site_publication',
    );
  });

  it('changes nothing where it contradicts what the bench has decided, and says so', async () => {
    const { station } = bench;
    const sheet = firstSheet();
    const own = { ...sheet, revision: sheet.revision + 1, title: { ...sheet.title, en: 'Our own' } };
    await station.management.command(
      { kind: 'draftSheet', sheet: own },
      { person: { personId: 'cedar', roles: ['lead'] }, pinVerified: true },
    );
    const desk = new PublicationDesk(station, key.publicKey);
    desk.take(await published());
    expect(desk.takenUpTo()).toBe(3);
    expect(firstSheet().title.en).toBe(sheet.title.en);
    const taken = station.store.readStream('station').filter(({ kind }) => kind === 'publicationTaken');
    expect(taken.map(({ body }) => body.refused)).toEqual(['sheet_differs', null, null]);
    expect(station.snapshot(bench.screen(null).session).faults.map(({ code }) => code)).toContain(
      'site_conflict',
    );
  });

  it('is refused at the site from whoever may not publish, out of order, or twice', async () => {
    const attempt = (login: string, values: unknown[]) =>
      site.as(login, (client) =>
        client.query('SELECT bandwright.publish($1, $2, $3, $4, $5, $6, $7, $8)', values),
      );
    const zero = Buffer.alloc(32);
    const signature = Buffer.alloc(64);
    const row = (number: number) => [number, zero, 'person', 'heron', 1, '{}', key.keyId, signature];
    await expect(attempt('bench-1', row(4))).rejects.toMatchObject({ code: '42501' });
    await expect(attempt('publisher', row(4))).rejects.toMatchObject({ code: 'BW001', hint: 'moved_on' });
    await expect(attempt('publisher', row(1))).rejects.toMatchObject({ code: 'BW001', hint: 'moved_on' });
  });

  it('reaches a served station by itself', async () => {
    const { folder } = bench;
    await bench.station.close();
    writeSiteFile(folder, {
      ...{ url: site.url('bench-1'), passwordFile: site.passwordFile('bench-1') },
      siteKey: { publicKey: key.publicKey },
    });
    const program = join(import.meta.dirname, 'loaded-modules.ts');
    const serving = promisify(execFile)(process.execPath, [program, folder]);
    await expect
      .poll(
        () => {
          const evidence = openEvidence(folder);
          const count = evidence.documentsOfKind('publication').length;
          evidence.close();
          return count;
        },
        { timeout: 40_000 },
      )
      .toBe(3);
    serving.child.stdin?.end();
    await serving;
    await bench.open();
  }, 60_000);
});
