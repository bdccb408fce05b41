import { BadInput, type CommandInput } from './command.ts';

/** The PIN of an option, or the first line of standard input for `-`, so that it stays out of lists of processes. */
export async function readPin(input: CommandInput, why: string): Promise<string> {
  const { pin } = input.options;
  if (typeof pin !== 'string')
    throw new BadInput(`--pin: missing; ${why}, or - to read it from standard input`);
  if (pin !== '-') return pin;
  const [line = ''] = (await input.readStandardInput()).toString('utf8').split(/\r?\n/);
  return line.trim();
}
