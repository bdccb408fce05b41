import { mkdirSync } from 'node:fs';
import { BadInput } from './command.ts';
import { withEvidence } from './evidence-input.ts';

/**
 * Opens a data folder for writing; it is made when it is not there. One that cannot be made, is held by another
 * station or belongs to another program is bad input: one line, exit 2.
 */
export async function withDataFolder<Value>(folder: string, open: () => Promise<Value>): Promise<Value> {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
  } catch (error) {
    const reason = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new BadInput(`--data: ${folder} cannot be a data folder (${reason}); name one that may be written`);
  }
  return withEvidence(open);
}
