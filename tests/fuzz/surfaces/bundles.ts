import { spawn } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { runExport } from '../../../electron/station/audit/export-run.ts';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { hostileTexts, spoiledText } from '../mutation.ts';
import type { Surface } from '../surface.ts';

/** A bundle that another person sent: its verifier says what is wrong with it and never that it is whole. */
export const bundleSurface: Surface = {
  name: 'bundle files',
  holds: 'the verifier ends with 0 for the same content, else 1 or 2 with words, never by a throw',
  async open() {
    const around = mkdtempSync(join(tmpdir(), 'bandwright-bundle-'));
    const data = join(around, 'data');
    const original = join(around, 'bundle');
    await makeBundle(data, original);
    const names = readdirSync(original).filter((name) => /\.json(l)?$/.test(name));
    const edits = fc.record({
      name: fc.constantFrom(...names),
      line: fc.nat(),
      kind: fc.constantFrom('spoil', 'remove', 'double', 'noise', 'cut'),
      text: fc.oneof(fc.constantFrom(...hostileTexts), fc.string({ unit: 'binary' })),
      seed: fc.nat(),
    });
    const property = fc.asyncProperty(edits, async (edit) => {
      const folder = join(around, 'spoiled');
      cpSync(original, folder, { recursive: true });
      const file = join(folder, edit.name);
      const before = readFileSync(file, 'utf8');
      const after = edited(before, edit);
      writeFileSync(file, after);
      const { code, error } = await verifyBundle(folder);
      rmSync(folder, { recursive: true });
      if (/\n\s+at /.test(error)) throw new Error(`the verifier threw: ${error.slice(0, 500)}`);
      // What was wished, when and how many: nobody signs that.
      const isSame = edit.name === 'bundle.json' || sameContent(before, after);
      if (code === 0 && !isSame) throw new Error(`${edit.name} was changed and the bundle is called intact`);
      return code === 1 || code === 2 || (code === 0 && isSame);
    });
    return { property, close: async () => rmSync(around, { recursive: true }) };
  },
};

interface Edit {
  readonly line: number;
  readonly kind: string;
  readonly text: string;
  readonly seed: number;
}

function edited(text: string, { line, kind, text: noise, seed }: Edit): string {
  const lines = text.split('\n').filter((one) => one !== '');
  const at = line % Math.max(1, lines.length);
  const old = lines[at] ?? '';
  if (kind === 'remove') lines.splice(at, 1);
  else if (kind === 'double') lines.splice(at, 0, old);
  else if (kind === 'noise') lines[at] = noise.replaceAll('\n', ' ');
  else if (kind === 'cut') lines[at] = old.slice(0, seed % (old.length + 1));
  else if (old !== '') lines[at] = fc.sample(spoiledText([JSON.parse(old)]), { numRuns: 1, seed })[0] ?? '';
  return `${lines.join('\n')}\n`;
}

/** The same lines apart from white space and the order of names. */
function sameContent(before: string, after: string): boolean {
  const contents = (text: string) =>
    text
      .split('\n')
      .filter((line) => line.trim() !== '')
      .map((line) => {
        try {
          return JSON.stringify(sorted(JSON.parse(line)));
        } catch {
          return line;
        }
      })
      .join('\n');
  return contents(before) === contents(after);
}

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return entries.map(([name, item]) => [name, sorted(item)]);
}

async function makeBundle(data: string, target: string): Promise<void> {
  const clock = { nowMilliseconds: () => 0, wallTime: () => '2026-03-02T08:00:00.000Z' };
  const store = openStore({ folder: data, clock, createId: () => 'fuzz', rules: jobEvidence });
  const references = putInventedDocuments(store);
  for (const event of inventedJob(1, Date.UTC(2026, 2, 2), references)) {
    const stream = `job/${event.jobId}`;
    store.append({
      stream,
      expectedVersion: store.versionOf(stream),
      personId: event.personId,
      events: [{ kind: event.kind, body: { ...event } }],
    });
  }
  store.close();
  const at = '2026-03-02T08:00:00.000Z';
  const made = await runExport({ folder: data, target, format: 'bundle', style: 'iso', filter: null, at });
  if (made?.ok !== true) throw new Error('no bundle was made');
}

export function verifyBundle(folder: string): Promise<{ code: number | null; error: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [join(folder, 'verify.mjs'), folder], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let error = '';
    child.stderr.setEncoding('utf8').on('data', (piece: string) => {
      error += piece;
    });
    child.on('close', (code) => resolve({ code, error }));
  });
}
