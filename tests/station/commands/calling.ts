import { BadInput, type Command, type OptionValues } from '../../../electron/station/commands/command.ts';

/** Calls one command as the command line does, without a process of its own. */
export async function call(
  command: Command,
  standardInput: string | Uint8Array,
  words: readonly string[] = [],
  options: OptionValues = { json: true },
): Promise<{ code: number; out: string; error: string }> {
  const printed: string[] = [];
  const said: string[] = [];
  try {
    const code = await command.run({
      positionals: words,
      options,
      json: options.json === true,
      dataFolder: typeof options.data === 'string' ? options.data : '',
      print: async (text) => {
        printed.push(text);
      },
      say: (text) => said.push(text),
      readStandardInput: async () => Buffer.from(standardInput),
      standardInput: async function* () {
        yield Buffer.from(standardInput);
      },
    });
    return { code, out: printed.join('\n'), error: said.join('\n') };
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    return { code: 2, out: printed.join('\n'), error: error.message };
  }
}
