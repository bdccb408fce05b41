import { readFile } from 'node:fs/promises';
import { type Fault, parseFaultScript } from '../../../drivers/simulated/fault-script.ts';
import type { Station } from '../station.ts';
import { BadInput, badInput, type OptionValues } from './command.ts';
import { readJsonDocument } from './json-documents.ts';
import { numberOption } from './number-option.ts';

/** What goes wrong with each simulated instrument, by its id in the register. */
export type FaultScripts = Readonly<Record<string, readonly Fault[]>>;

/** The seed that `--seed` asks for. */
export function seedOption(options: OptionValues): number | undefined {
  const seed = numberOption(options, 'seed', { least: 0, most: 999_999_999 });
  if (seed !== undefined && !Number.isInteger(seed)) {
    throw new BadInput(`--seed: "${String(options.seed)}" cannot be used; give a whole number`);
  }
  return seed;
}

/** The fault scripts of the file that `--faults` names: `{"scale-1":[{"kind":"unplug","atMilliseconds":5000,…}]}`. */
export async function readFaultFile(option: unknown): Promise<FaultScripts | undefined> {
  if (option === undefined) return undefined;
  const file = String(option);
  const bytes = await readFile(file).catch((error: NodeJS.ErrnoException) => {
    throw new BadInput(`--faults: ${file} cannot be read (${error.code}); give a JSON file`);
  });
  const input = jsonOf(bytes, file);
  if (typeof input !== 'object' || input === null || Array.isArray(input)) {
    throw new BadInput(`--faults: ${file} must be an object with one list of faults for each instrument`);
  }
  return Object.fromEntries(
    Object.entries(input).map(([instrumentId, script]) => {
      const faults = parseFaultScript(script);
      if (faults.ok) return [instrumentId, faults.value];
      // The script is a list: its field begins with the place in it.
      throw badInput({ ...faults.error, field: `--faults: ${instrumentId}${faults.error.field}` });
    }),
  );
}

function jsonOf(bytes: Uint8Array, file: string): unknown {
  try {
    return readJsonDocument(bytes);
  } catch (error) {
    throw error instanceof BadInput ? new BadInput(`--faults: ${file}: ${error.message}`) : error;
  }
}

/** Refuses scripts that no simulated instrument of this station can follow. */
export function requireSimulated({ simulated, dataFolder, bench }: Station, scripts: FaultScripts): void {
  if (!simulated) {
    throw new BadInput(
      `--faults: ${dataFolder} belongs to a real workshop; faults are for a demo folder alone`,
    );
  }
  const known = bench.registry.all().filter((instrument) => instrument.simulated);
  const ids = known.map(({ instrumentId }) => instrumentId);
  const unknown = Object.keys(scripts).find((instrumentId) => !ids.includes(instrumentId));
  if (unknown === undefined) return;
  throw new BadInput(`--faults: "${unknown}" is no simulated instrument; choose from ${ids.join(', ')}`);
}
