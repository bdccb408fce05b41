import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { z } from 'zod';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { type RemoteOptions, remoteOptions } from './remote-options.ts';

export const remoteFileName = 'remote.json';

const fileSchema = z.strictObject({
  /** `HOST:PORT` */
  listen: z.string().min(1),
  names: z.array(z.string().min(1)).optional(),
  /** Paths of PEM files, from the data folder on. */
  certificate: z.string().min(1).optional(),
  privateKey: z.string().min(1).optional(),
});

/**
 * The door for other desks as a file of the data folder asks for it: for a station that nobody starts from a command
 * line. Without the file there is no door.
 *
 * @param now milliseconds since 1970
 */
export async function remoteOfFile(dataFolder: string, now: number): Promise<Result<RemoteOptions | null>> {
  let text: string;
  try {
    text = readFileSync(join(dataFolder, remoteFileName), 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return ok(null);
    return refuse('remote_file', '', `${remoteFileName} cannot be read; check its rights`);
  }
  const json = parseJson(text);
  if (json === undefined)
    return refuse('remote_file', '', `${remoteFileName} is no JSON; correct or remove it`);
  const wish = parseWith(fileSchema, json);
  if (!wish.ok) return wish;
  const { certificate, privateKey, ...rest } = wish.value;
  const from = (file: string | undefined) => (file === undefined ? undefined : resolve(dataFolder, file));
  return remoteOptions({ ...rest, certificate: from(certificate), privateKey: from(privateKey) }, now);
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
