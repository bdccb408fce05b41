import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { BadInput, type Command } from './command.ts';
import { withDataFolder } from './data-folder-input.ts';
import { onEvidence } from './evidence-input.ts';
import { seedOption } from './fault-file.ts';

export const demoCommand: Command = {
  name: 'demo',
  summary: 'one whole job on simulated instruments, without a screen',
  usage: '[--serial SERIAL] [--seed N]',
  help: `
Does one whole job of the invented demo workshop over real pseudo-terminals: intake, every step of the sheet, the
fill and the pull on simulated instruments, release. Progress goes to standard error. The last line is the signed
record; with --json it is canonical JSON, the same that "serial SERIAL --json" returns.

  --serial SERIAL   a tool of the demo workshop (seeds/tools.json). Default: SLT-1001
  --seed N          of the simulated instruments; the same seed makes the same noise. Default: of the clock

Exit: 0 released, 2 bad input.`,
  options: { serial: { type: 'string' }, seed: { type: 'string' } },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    if (positionals.length > 0)
      throw new BadInput(`demo: takes no "${positionals[0]}"; name the tool with --serial`);
    const { loadDemoWorkshop } = await import('../../../seeds/index.ts');
    const { tools } = loadDemoWorkshop();
    const serial = typeof options.serial === 'string' ? options.serial : 'SLT-1001';
    const tool = tools.find((candidate) => candidate.serial === serial);
    if (tool === undefined) {
      throw new BadInput(
        `--serial: "${serial}" is no tool of the demo workshop; choose one of ${tools.map((known) => known.serial).join(', ')}`,
      );
    }
    const seed = seedOption(options) ?? Date.now() % 1_000_000;
    const { Station } = await import('../station.ts');
    const { openLog } = await import('../log.ts');
    const { DemoTechnician } = await import('../demo-job.ts');
    const station = await withDataFolder(dataFolder, () =>
      Station.open({ dataFolder, log: openLog(dataFolder), seed }),
    );
    try {
      if (!station.simulated) {
        throw new BadInput(
          `--data: ${dataFolder} belongs to a real workshop; the demo writes only into a demo folder`,
        );
      }
      const jobId = await new DemoTechnician(station, say).doJob(serial, tool.headId);
      const record = station.store.recordOf(jobId);
      if (record === undefined) throw new Error(`job ${jobId} was released without a record`);
      await print(json ? canonicalJson(record.record) : describeRecord(record.record));
    } finally {
      await station.close();
    }
    return 0;
  }),
};

function describeRecord(record: object): string {
  return JSON.stringify(record, undefined, 2);
}
