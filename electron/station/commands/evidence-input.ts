import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { StationKey } from '../store/known-keys.ts';
import type { StoreFaultCode } from '../store/store-fault.ts';
import { BadInput, type CommandInput, type ExitCode } from './command.ts';

/** Faults that mean that the wrong folder was named, or at the wrong time. */
const inputFaults: ReadonlySet<StoreFaultCode> = new Set([
  'no_database',
  'not_ours',
  'newer_schema',
  'older_schema',
  'cannot_open',
  'busy',
  'held',
  'read_only',
]);

/** Runs what touches the evidence; a fault becomes one line on standard error and exit 2. */
export async function withEvidence<Value>(work: () => Value | Promise<Value>): Promise<Value> {
  const { StoreFault } = await import('../store/store-fault.ts');
  try {
    return await work();
  } catch (error) {
    if (error instanceof StoreFault && inputFaults.has(error.code))
      throw new BadInput(`--data: ${error.message}`);
    if (error instanceof StoreFault && error.code.startsWith('key_'))
      throw new BadInput(`signing key: ${error.message}`);
    if (error instanceof StoreFault && error.code !== 'damaged')
      throw new BadInput(`database: ${error.message}`);
    throw error;
  }
}

/** Opens the evidence of a data folder for reading. */
export async function openEvidenceFor(dataFolder: string): Promise<EvidenceReader & { close(): void }> {
  const { openEvidence } = await import('../store/open-store.ts');
  return withEvidence(() => openEvidence(dataFolder));
}

/** The keys that the chain of a data folder, or of a backup, brings. */
export async function stationKeysIn(folder: string): Promise<readonly StationKey[]> {
  const { readStationKeys } = await import('../store/known-keys.ts');
  const evidence = await openEvidenceFor(folder);
  try {
    return readStationKeys(evidence);
  } finally {
    evidence.close();
  }
}

/** A command that reads evidence: damage is one line on standard error and exit 1, evidence broken. */
export function onEvidence(
  run: (input: CommandInput) => Promise<ExitCode>,
): (input: CommandInput) => Promise<ExitCode> {
  return async (input) => {
    try {
      return await run(input);
    } catch (error) {
      const { StoreFault } = await import('../store/store-fault.ts');
      if (!(error instanceof StoreFault) || error.code !== 'damaged') throw error;
      input.say(`damaged: ${error.message}`);
      return 1;
    }
  };
}
