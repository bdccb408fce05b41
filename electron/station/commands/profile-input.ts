import { readFile } from 'node:fs/promises';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { BadInput, badInput } from './command.ts';

/**
 * The profile that `--profile` means: a built-in name, or a JSON file that is a profile or holds one under
 * `profile`. Bad input names the field's path.
 */
export async function readProfileOption(option: unknown): Promise<InstrumentProfile> {
  if (typeof option !== 'string' || option === '') {
    throw new BadInput('--profile: missing; give a JSON file or the name of a built-in profile (see --help)');
  }
  const builtIn = findBuiltInProfile(option);
  if (builtIn !== undefined) return builtIn;
  const profile = readProfile(parseJson(option, await readText(option)));
  if (!profile.ok) throw badInput(profile.error);
  return profile.value;
}

async function readText(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    const reason = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new BadInput(
      `--profile: "${file}" is no built-in profile and cannot be read as a file (${reason}); give a JSON file or a name from --help`,
    );
  }
}

function parseJson(file: string, text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\ufeff/, ''));
  } catch (error) {
    const reason = error instanceof Error ? error.message.replace(/\s+/g, ' ') : String(error);
    throw new BadInput(`--profile: ${file} is not JSON (${reason}); correct the file`);
  }
}
