import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import fc from 'fast-check';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../../electron/station/audit/invented-job.ts';
import type { Command } from '../../../electron/station/commands/command.ts';
import { documentCommand } from '../../../electron/station/commands/document.ts';
import { exportCommand } from '../../../electron/station/commands/export.ts';
import { serialCommand } from '../../../electron/station/commands/serial.ts';
import { verifyCommand } from '../../../electron/station/commands/verify.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { TestServer } from '../../station/serve/test-server.ts';
import { demoPins } from '../../station/test-station.ts';
import { hostileTexts } from '../mutation.ts';
import type { Surface } from '../surface.ts';
import { callCommand } from './commands.ts';

/** Names as folders and files are called, and as they should not be. */
const pathText = fc.oneof(
  fc.constantFrom(...hostileTexts),
  fc.string({ unit: 'binary', maxLength: 40 }),
  fc
    .array(
      fc.constantFrom('..', '.', '', '~', 'etc', 'passwd', 'station.sqlite', '%2e%2e', 'con', '\\', 'ä'),
      {
        maxLength: 8,
      },
    )
    .map((parts) => parts.join('/')),
);

/** Serials that the schema takes: printable characters, slashes and dots among them. */
const serialText = fc
  .stringMatching(/^[\x21-\x7e][\x20-\x7e]{0,20}[\x21-\x7e]$/)
  .map((text) => `../${text}`.slice(0, 24).trim());

/** Files whose name is made from a serial: they stay in the folder where the command was called. */
export const documentNameSurface: Surface = {
  name: 'document names from serials',
  holds: 'one file in the current folder, whatever the serial',
  async open() {
    const around = mkdtempSync(join(tmpdir(), 'bandwright-names-'));
    const here = join(around, 'a', 'b');
    mkdirSync(here, { recursive: true });
    const data = join(around, 'data');
    const clock = { nowMilliseconds: () => 0, wallTime: () => '2026-03-02T08:00:00.000Z' };
    const store = openStore({ folder: data, clock, createId: () => 'fuzz', rules: jobEvidence });
    const references = putInventedDocuments(store);
    let number = 0;
    const before = process.cwd();
    process.chdir(here);
    const tryName = async (serial: string, label: boolean): Promise<boolean> => {
      number += 1;
      const [opened] = inventedJob(number, Date.UTC(2026, 2, 2), references);
      if (opened?.kind !== 'jobOpened') return false;
      store.append({
        stream: `job/${opened.jobId}`,
        expectedVersion: 0,
        personId: opened.personId,
        events: [{ kind: opened.kind, body: { ...opened, serial } }],
      });
      const options = label ? { label: true, as: 'serial' } : { as: 'serial' };
      const called = await callCommand(documentCommand, { positionals: [serial], options, dataFolder: data });
      const made = readdirSync(here);
      const outside = readdirSync(around).concat(readdirSync(join(around, 'a')));
      for (const name of made) rmSync(join(here, name), { recursive: true });
      const { file } = JSON.parse(called.printed[0] ?? '{}');
      return (
        called.code === 0 &&
        made.length === 1 &&
        relative(here, file) === made[0] &&
        outside.join() === 'a,data,b'
      );
    };
    // Loads what makes documents, so that the time goes into names.
    await tryName('first', false);
    const property = fc.asyncProperty(serialText, fc.boolean(), tryName);
    return {
      property,
      async close() {
        process.chdir(before);
        store.close();
        rmSync(around, { recursive: true });
      },
    };
  },
};

/** Folders and targets that a person names wrongly. */
export const folderSurface: Surface = {
  name: '--data and --out',
  holds: 'exit 0, 1, or 2 with one line; nothing is made where nothing was found',
  async open() {
    const around = mkdtempSync(join(tmpdir(), 'bandwright-paths-'));
    const here = join(around, 'here');
    mkdirSync(here);
    const before = process.cwd();
    process.chdir(here);
    const commands: readonly (readonly [Command, readonly string[]])[] = [
      [serialCommand, ['SLT-1001']],
      [documentCommand, ['SLT-1001']],
      [exportCommand, ['csv']],
      [verifyCommand, []],
    ];
    const which = fc.constantFrom(...commands);
    const property = fc.asyncProperty(
      which,
      pathText,
      fc.option(pathText),
      async ([command, words], data, out) => {
        const dataFolder = join(here, 'below', data.startsWith('/') ? data.slice(1) : data);
        if (existsSync(join(dataFolder, 'station.sqlite'))) return true;
        const options = out === null || command === serialCommand || command === verifyCommand ? {} : { out };
        const called = await callCommand(command, { positionals: words, options, dataFolder });
        return called.code === 2 && readdirSync(around).join() === 'here' && readdirSync(here).length === 0;
      },
    );
    return {
      property,
      async close() {
        process.chdir(before);
        rmSync(around, { recursive: true });
      },
    };
  },
};

/** Addresses that a page asks for. */
export const addressSurface: Surface = {
  name: 'addresses asked of the server',
  holds: 'the page’s own files, a document, or a refusal; never a file beside them',
  async open() {
    const server = await new TestServer().start();
    const cookie = await server.enter();
    const screen = await server.screen(cookie);
    await screen.call('signIn', { personId: 'flint', pin: demoPins.flint });
    const part = fc.oneof(
      fc.constantFrom(
        '..',
        '.',
        '%2e%2e',
        '..%2f',
        '%5c..',
        'documents',
        'exports',
        'history',
        'en',
        'assets',
      ),
      fc.constantFrom(
        'station.sqlite',
        'signing-key.pem',
        'record.pdf',
        'index.html',
        'station',
        '%00',
        '%',
        '',
      ),
      fc.string({ maxLength: 12 }).map((text) => encodeURIComponent(text.toWellFormed())),
      fc.webFragments({ size: 'small' }),
    );
    const property = fc.asyncProperty(fc.array(part, { maxLength: 8 }), async (parts) => {
      const path = `/${parts.join('/')}`;
      const { status, body, headers } = await server.get(path, { cookie });
      if (![200, 302, 304, 400, 403, 404, 405].includes(status)) throw new Error(`${path}: ${status}`);
      if (headers['content-security-policy'] === undefined) throw new Error(`${path}: no policy`);
      return !/SQLite format 3|PRIVATE KEY|"tokenHash"/.test(body);
    });
    return {
      property,
      async close() {
        screen.cut();
        await server.end();
      },
    };
  },
};
