import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { runVerify } from '../../electron/station/audit/verify-run.ts';
import type { ManagementCommandInput } from '../../shared/management-command.ts';
import { managementCommands } from '../shared/people/management-commands.ts';
import { demoPins, TestBench, type TestScreen } from './test-station.ts';

let bench: TestBench;
beforeEach(async () => {
  bench = await new TestBench().open();
});
afterEach(() => bench.end());

function manage(
  screen: TestScreen,
  command: ManagementCommandInput,
  proof: { pin?: string; personId?: string } = {},
) {
  return bench.codeOf(screen, 'manage', { command, ...proof });
}

async function registered(instrumentId: string) {
  const { instruments } = await bench.mustCall(bench.screen('flint'), 'register', {});
  const found = instruments.find((instrument) => instrument.instrumentId === instrumentId);
  if (found === undefined) throw new Error(`${instrumentId} is not in the register`);
  return found;
}

const { registerInstrument } = managementCommands;
const dayAgo = () => new Date(Date.now() - 86_400_000).toISOString().slice(0, 10);
const certificate = () => ({
  ...managementCommands.addCertificate.certificate,
  date: dayAgo(),
  due: '2099-12-31',
});
const badCheck: ManagementCommandInput = {
  ...managementCommands.recordInstrumentCheck,
  indication: { value: 200.06, unit: 'g' },
};

describe('the register of instruments', () => {
  it('starts a new instrument at once and stops it when it is retired, without a restart', async () => {
    const lead = bench.screen('cedar');
    expect(await manage(lead, registerInstrument)).toBe('taken');
    const running = bench.station.bench.running('scale-new');
    await expect.poll(() => running?.live.latest()?.indication.unit, { timeout: 10_000 }).toBe('g');
    const view = bench.station
      .snapshot(lead.session)
      .instruments.find(({ instrumentId }) => instrumentId === 'scale-new');
    expect(view).toMatchObject({ port: { state: 'open' }, fitness: { usable: false, code: 'uncertified' } });

    expect(
      await manage(lead, { kind: 'retireInstrument', instrumentId: 'scale-new', reason: 'Dropped.' }),
    ).toBe('taken');
    expect(bench.station.bench.running('scale-new')).toBeUndefined();
    expect(running?.live.health().condition).toBe('disconnected');
    await bench.restart();
    expect(bench.station.bench.running('scale-new')).toBeUndefined();
    expect(await registered('scale-new')).toMatchObject({
      retired: 'Dropped.',
      fitness: { code: 'retired' },
    });
  });

  it('says by what rule a scale without a flag is stable, and nothing where the scale says it itself', async () => {
    const { entry } = registerInstrument;
    const unflagged = { ...entry, profileName: 'scale-any-line-end', simulated: false };
    const command = { ...registerInstrument, entry: { ...unflagged, portIdentity: { path: '/dev/none' } } };
    expect(await manage(bench.screen('cedar'), command)).toBe('taken');
    const { steadiness } = await registered('scale-new');
    expect(steadiness?.en).toMatch(/^The scale does not tell whether it is stable\. .* readings of the last/);
    expect(steadiness?.de).toMatch(/^Die Waage sagt nicht, ob sie ruhig ist\./);
    expect((await registered('scale-1')).steadiness).toBeNull();
    expect((await registered('wrench-1')).steadiness).toBeNull();
  });

  it('lets an instrument run on when its entry is corrected, and connects it anew for another profile', async () => {
    const lead = bench.screen('cedar');
    await manage(lead, registerInstrument);
    const running = bench.station.bench.running('scale-new');
    const renamed = { ...registerInstrument.entry, name: 'Scale at the window' };
    expect(await manage(lead, { ...registerInstrument, entry: renamed })).toBe('taken');
    expect(bench.station.bench.running('scale-new')).toBe(running);
    const other = { ...renamed, profileName: 'scale-request-letter' };
    expect(await manage(lead, { ...registerInstrument, entry: other })).toBe('taken');
    const anew = bench.station.bench.running('scale-new');
    expect(anew?.profile.name).toBe('scale-request-letter');
    await expect.poll(() => anew?.live.latest()?.indication.unit, { timeout: 10_000 }).toBe('g');
    expect((await registered('scale-new')).entry).toEqual(other);
  });

  it('refuses what no profile or simulator can speak, and starts nothing', async () => {
    const lead = bench.screen('cedar');
    const entry = { ...registerInstrument.entry, profileName: 'no-such-profile' };
    expect(await manage(lead, { ...registerInstrument, entry })).toBe('no_such_profile');
    expect(bench.station.bench.running('scale-new')).toBeUndefined();
  });

  it('keeps a certificate as a document of its own and puts it in force', async () => {
    const lead = bench.screen('cedar');
    const added = { ...managementCommands.addCertificate, certificate: certificate() };
    expect(await manage(lead, added)).toBe('taken');
    expect(await manage(lead, added)).toBe('certificate_known');
    const { certificates } = await registered('scale-1');
    const newest = certificates.at(-1);
    expect(newest).toMatchObject({
      certificate: { number: 'INVENTED-M-0900' },
      by: { personId: 'cedar', name: 'Lead Cedar' },
      inForce: true,
      state: 'valid',
    });
    expect(certificates.filter(({ inForce }) => inForce)).toHaveLength(1);
    expect(bench.station.store.getDocument(newest?.hash ?? '')).toMatchObject({
      kind: 'certificate',
      body: { number: 'INVENTED-M-0900', asLeft: [{ indication: 0 }, { indication: 3200.02 }] },
    });
    await bench.restart();
    expect((await registered('scale-1')).certificates.at(-1)?.hash).toBe(newest?.hash);
  });

  it('judges a check by the register, blocks a scale that fails it, and takes a second person to concede', async () => {
    expect(await manage(bench.screen('amber'), managementCommands.recordInstrumentCheck)).toBe('taken');
    expect((await registered('scale-1')).fitness.code).toBe('ok');
    // Cedar makes the check that fails, so another lead must decide.
    const cedar = bench.screen('cedar');
    expect(await manage(cedar, badCheck)).toBe('taken');
    expect((await registered('scale-1')).fitness).toMatchObject({ usable: false, code: 'check_failed' });

    const until = new Date(Date.parse(bench.clock.wallTime()) + 86_400_000).toISOString();
    const concede: ManagementCommandInput = { ...managementCommands.concedeInstrument, until };
    expect(await manage(cedar, concede)).toBe('pin_required');
    expect(await manage(cedar, concede, { pin: demoPins.cedar })).toBe('own_concession');
    // A second lead steps up to the same screen.
    expect(await manage(cedar, concede, { personId: 'dune' })).toBe('pin_required');
    expect(await manage(cedar, concede, { personId: 'dune', pin: demoPins.cedar })).toBe('pin_wrong');
    expect(await manage(cedar, concede, { personId: 'dune', pin: demoPins.dune })).toBe('taken');

    const view = await registered('scale-1');
    expect(view.fitness).toMatchObject({ usable: true, code: 'conceded' });
    expect(view.concessions).toMatchObject([{ by: { personId: 'dune' }, reason: concede.reason, until }]);
    expect(view.checks.map(({ passed }) => passed)).toEqual([true, true, false]);
    expect(view.checks.at(-1)).toMatchObject({
      difference: { text: '0.06', unit: 'g' },
      limit: { value: 0.05, unit: 'g' },
      by: { name: 'Lead Cedar' },
    });
    const stored = bench.station.store.readStream('instrument/scale-1').at(-1);
    expect(stored).toMatchObject({ kind: 'instrumentConceded', personId: 'dune' });
  });
});

describe('lots', () => {
  it('are received, opened and blocked, and say why they may not be used', async () => {
    const amber = bench.screen('amber');
    expect(await manage(amber, { ...managementCommands.receiveLot, expiry: '2099-01-31' })).toBe('taken');
    expect(await manage(amber, { kind: 'openLot', lotId: 'LOT-NEW' })).toBe('taken');
    expect(await manage(amber, { kind: 'blockLot', lotId: 'LOT-NEW', reason: 'Dirt in it.' })).toBe(
      'not_allowed',
    );
    expect(
      await manage(
        amber,
        { kind: 'blockLot', lotId: 'LOT-NEW', reason: 'Dirt in it.' },
        { personId: 'cedar', pin: demoPins.cedar },
      ),
    ).toBe('taken');
    const { lots } = await bench.mustCall(amber, 'lots', {});
    const found = lots.find(({ lotId }) => lotId === 'LOT-NEW');
    expect(found).toMatchObject({
      blocked: 'Dirt in it.',
      invented: true,
      refusal: { code: 'lot_blocked' },
    });
    expect(await bench.mustCall(amber, 'lotUses', { lotId: 'LOT-NEW' })).toEqual({ uses: [] });
    // Opened today, it keeps 180 days of the years until its expiry.
    const days =
      (Date.parse(found?.usableUntil ?? '') - Date.parse(bench.clock.wallTime().slice(0, 10))) / 86_400_000;
    expect(days).toBe(180);
    expect(lots.find(({ lotId }) => lotId === 'LOT-BLUE-00')?.refusal?.code).toBe('lot_expired');
  });
});

describe('sheets', () => {
  it('are drafted by one lead, approved by another with the PIN, and show what each revision changed', async () => {
    const cedar = bench.screen('cedar');
    const { sheets } = await bench.mustCall(cedar, 'sheetRevisions', { sheetId: 'sheet-slate-short' });
    const first = sheets[0]?.revisions[0];
    if (first === undefined) throw new Error('the demo has no short sheet');
    expect(sheets).toMatchObject([{ inForce: 1, revisions: [{ status: 'approved', differences: null }] }]);
    const sheet = structuredClone({ ...first.sheet, revision: 2, nextServiceMonths: 6 });
    const to = { sheetId: sheet.sheetId, revision: 2 };
    expect(await manage(cedar, { kind: 'draftSheet', sheet })).toBe('taken');
    expect(await manage(cedar, { kind: 'submitSheet', ...to })).toBe('taken');
    expect(await manage(cedar, { kind: 'approveSheet', ...to }, { pin: demoPins.cedar })).toBe('own_sheet');
    const dune = bench.screen('dune');
    expect(await manage(dune, { kind: 'approveSheet', ...to })).toBe('pin_required');
    expect(await manage(dune, { kind: 'approveSheet', ...to }, { pin: demoPins.dune })).toBe('taken');
    const after = await bench.mustCall(cedar, 'sheetRevisions', { sheetId: sheet.sheetId });
    expect(after.sheets[0]).toMatchObject({ inForce: 2 });
    expect(after.sheets[0]?.revisions[1]).toMatchObject({
      status: 'approved',
      authors: [{ personId: 'cedar', name: 'Lead Cedar' }],
      approvedBy: { personId: 'dune', name: 'Lead Dune' },
      differences: [{ path: 'nextServiceMonths', before: 12, after: 6 }],
    });
    expect(
      (await bench.mustCall(cedar, 'sheets', {})).sheets.find(({ sheetId }) => sheetId === to.sheetId)
        ?.revision,
    ).toBe(2);
  });

  it('name the one bad field with its path', async () => {
    const cedar = bench.screen('cedar');
    const sheet = structuredClone(managementCommands.draftSheet.sheet) as { steps: { title: object }[] };
    sheet.steps[1] = { ...sheet.steps[1], title: { en: 'Sign' } };
    const command = { ...managementCommands.draftSheet, sheet } as ManagementCommandInput;
    expect(await bench.call(cedar, 'manage', { command })).toEqual({
      refusal: {
        code: 'bad_parameters',
        field: 'command.sheet.steps[1].title.de',
        message: 'missing; give text',
      },
    });
  });
});

describe('the evidence', () => {
  it('is intact after all kinds of management commands', async () => {
    const cedar = bench.screen('cedar');
    await manage(cedar, registerInstrument);
    await manage(cedar, { ...managementCommands.addCertificate, certificate: certificate() });
    await manage(cedar, badCheck);
    await manage(cedar, { ...managementCommands.receiveLot, expiry: null });
    await manage(cedar, managementCommands.draftSheet);
    await manage(bench.screen('quartz'), managementCommands.addPerson);
    await bench.station.close();
    const problems: unknown[] = [];
    const result = await runVerify({ folder: bench.folder, onProblem: (problem) => problems.push(problem) });
    expect(problems).toEqual([]);
    expect(result).toMatchObject({ intact: true, problemCount: 0 });
    await bench.open();
  });
});
