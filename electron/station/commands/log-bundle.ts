import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { BadInput, type Command } from './command.ts';

export const logBundleCommand: Command = {
  name: 'log-bundle',
  summary: 'put log, crash reports and the findings of doctor into one text file for whoever helps',
  usage: '--out FILE',
  help: `
Writes one text file, readable by its owner alone: the log, crash reports, and what "doctor" finds. No PINs, no keys,
no readings and no records are in it. Read it before you send it: names of folders and ports are.
Exit 0 written, 2 bad input.

  --out FILE   a file that is not there yet
  --json       {"file","bytes","healthy"}`,
  options: { out: { type: 'string' } },
  async run({ positionals, options, json, dataFolder, print }) {
    if (positionals.length > 0)
      throw new BadInput(`log-bundle: takes no "${positionals[0]}"; name the file with --out`);
    if (typeof options.out !== 'string') throw new BadInput('--out: missing; name the file to write');
    const { examineDataFolder } = await import('../doctor.ts');
    const { bundleLog } = await import('../log-bundle.ts');
    const health = await examineDataFolder(dataFolder);
    const text = bundleLog(dataFolder, health);
    const file = resolve(options.out);
    try {
      await writeFile(file, text, { mode: 0o600, flag: 'wx' });
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
      const reason = code === 'EEXIST' ? 'is there already' : `cannot be written (${code})`;
      throw new BadInput(`--out: ${file} ${reason}; name another file`);
    }
    const bytes = Buffer.byteLength(text);
    await print(json ? JSON.stringify({ file, bytes, healthy: health.healthy }) : file);
    return 0;
  },
};
