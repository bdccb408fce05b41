import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { z } from 'zod';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { writeDurably } from '../store/sync.ts';

/** Without this file in the data folder there is no site, and nothing of it is loaded. */
export const siteFileName = 'site.json';

const siteKeySchema = z.strictObject({
  /** SubjectPublicKeyInfo (DER) of an Ed25519 key, base64. */
  publicKey: z.base64().min(1),
});

const siteFileSchema = z.strictObject({
  /** `postgresql://LOGIN@HOST:PORT/DATABASE` */
  url: z.string().min(1).max(500),
  /** Paths, from the data folder on. */
  passwordFile: z.string().min(1).max(500).optional(),
  authorityFile: z.string().min(1).max(500).optional(),
  /** The key whose publications this bench takes; left out: it takes none. */
  siteKey: siteKeySchema.optional(),
});
export type SiteFile = z.infer<typeof siteFileSchema>;

/** True where a site is configured. Costs one look at the folder. */
export function hasSite(dataFolder: string): boolean {
  return existsSync(join(dataFolder, siteFileName));
}

/** What the file asks for, with paths made whole; null without the file. */
export function readSiteFile(dataFolder: string): Result<SiteFile | null> {
  let text: string;
  try {
    text = readFileSync(join(dataFolder, siteFileName), 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return ok(null);
    return refuse('site_file', '', `${siteFileName} cannot be read; check its rights`);
  }
  const json = parseJson(text);
  if (json === undefined) return refuse('site_file', '', `${siteFileName} is no JSON; correct or remove it`);
  const file = parseWith(siteFileSchema, json);
  if (!file.ok) return file;
  const { passwordFile, authorityFile, ...rest } = file.value;
  return ok({
    ...rest,
    ...(passwordFile === undefined ? {} : { passwordFile: resolve(dataFolder, passwordFile) }),
    ...(authorityFile === undefined ? {} : { authorityFile: resolve(dataFolder, authorityFile) }),
  });
}

/** Writes the file whole, for its owner alone. */
export function writeSiteFile(dataFolder: string, file: SiteFile): void {
  const text = `${JSON.stringify(siteFileSchema.parse(file), undefined, 2)}\n`;
  writeDurably(join(dataFolder, siteFileName), text);
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
