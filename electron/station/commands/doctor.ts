import { BadInput, type Command } from './command.ts';

export const doctorCommand: Command = {
  name: 'doctor',
  summary: 'look at ports, rights, disk, clock, database, key and versions, and say what to do',
  usage: '',
  help: `
Looks, beside a running station too, and changes nothing: versions; serial ports and whether this user may open them; HID scales;
data folder and its rights; free disk; whether a station works there; a quick check of the database file; the signed
end; the signing key, its rights and what protects it; the clock against the last event; the last verification; errors
and crash reports.
The quick check reads the whole file. What was captured is proven by "verify", not here.
Exit 0 nothing is bad, 1 somebody has to act, 2 bad input.

  --json   {"at","dataFolder","healthy","findings":[{"subject","verdict":"good|note|bad","code","values","sentence","details"}]}`,
  options: {},
  async run({ positionals, json, dataFolder, print }) {
    if (positionals.length > 0)
      throw new BadInput(`doctor: takes no "${positionals[0]}"; name the folder with --data`);
    const { examineDataFolder } = await import('../doctor.ts');
    const { describeHealth } = await import('../health.ts');
    const report = await examineDataFolder(dataFolder);
    await print(json ? JSON.stringify(report) : describeHealth(report));
    return report.healthy ? 0 : 1;
  },
};
