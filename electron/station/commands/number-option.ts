import { BadInput, type OptionValues } from './command.ts';

/** A plain number of an option between two limits; undefined where it is not given. */
export function numberOption(
  options: OptionValues,
  name: string,
  { least, most }: { readonly least: number; readonly most: number },
): number | undefined {
  const text = options[name];
  if (text === undefined) return undefined;
  const value = typeof text === 'string' && /^\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
  if (!(value >= least && value <= most)) {
    throw new BadInput(`--${name}: "${String(text)}" cannot be used; give a number from ${least} to ${most}`);
  }
  return value;
}
