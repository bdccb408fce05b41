import { parseArgs } from 'node:util';
import { BadInput, type Command, type CommandInput, type ExitCode } from './commands/command.ts';
import { defaultDataFolder } from './data-folder.ts';

/**
 * Commands are loaded when called: `judge` must not pay for serial ports and the database.
 * The order is the order of the help text.
 */
const catalogue: Readonly<Record<string, () => Promise<Command>>> = {
  __proto__: null as never,
  judge: async () => (await import('./commands/judge.ts')).judgeCommand,
  decode: async () => (await import('./commands/decode.ts')).decodeCommand,
  convert: async () => (await import('./commands/convert.ts')).convertCommand,
  budget: async () => (await import('./commands/budget.ts')).budgetCommand,
  setpoint: async () => (await import('./commands/setpoint.ts')).setpointCommand,
  demo: async () => (await import('./commands/demo.ts')).demoCommand,
  serve: async () => (await import('./commands/serve.ts')).serveCommand,
  ports: async () => (await import('./commands/ports.ts')).portsCommand,
  teach: async () => (await import('./commands/teach.ts')).teachCommand,
  record: async () => (await import('./commands/record.ts')).recordCommand,
  play: async () => (await import('./commands/play.ts')).playCommand,
  document: async () => (await import('./commands/document.ts')).documentCommand,
  impact: async () => (await import('./commands/impact.ts')).impactCommand,
  lot: async () => (await import('./commands/lot.ts')).lotCommand,
  sheet: async () => (await import('./commands/sheet.ts')).sheetCommand,
  'set-up': async () => (await import('./commands/set-up.ts')).setUpCommand,
  capability: async () => (await import('./commands/capability.ts')).capabilityCommand,
  risk: async () => (await import('./commands/risk.ts')).riskCommand,
  gauge: async () => (await import('./commands/gauge.ts')).gaugeCommand,
  serial: async () => (await import('./commands/serial.ts')).serialCommand,
  verify: async () => (await import('./commands/verify.ts')).verifyCommand,
  desk: async () => (await import('./commands/desk.ts')).deskCommand,
  site: async () => (await import('./commands/site.ts')).siteCommand,
  key: async () => (await import('./commands/key.ts')).keyCommand,
  chart: async () => (await import('./commands/chart.ts')).chartCommand,
  doctor: async () => (await import('./commands/doctor.ts')).doctorCommand,
  'log-bundle': async () => (await import('./commands/log-bundle.ts')).logBundleCommand,
  export: async () => (await import('./commands/export.ts')).exportCommand,
  backup: async () => (await import('./commands/backup.ts')).backupCommand,
  restore: async () => (await import('./commands/restore.ts')).restoreCommand,
};

async function runCommandLine(words: readonly string[]): Promise<ExitCode> {
  const [name, ...rest] = words;
  if (name === undefined || name === '--help' || name === 'help') {
    await print(await describeCommands());
    return name === undefined ? 2 : 0;
  }
  const load = Object.hasOwn(catalogue, name) ? catalogue[name] : undefined;
  if (load === undefined) {
    say(`command: "${name}" is not one; choose one of ${Object.keys(catalogue).join(', ')}, or --help`);
    return 2;
  }
  const command = await load();
  try {
    const { values, positionals } = parseArgs({
      args: [...rest],
      allowPositionals: true,
      options: {
        ...command.options,
        help: { type: 'boolean' },
        json: { type: 'boolean' },
        data: { type: 'string' },
      },
    });
    if (values.help === true) {
      await print(describeCommand(command));
      return 0;
    }
    const data = values.data;
    return await command.run({
      positionals,
      options: values,
      json: values.json === true,
      dataFolder: typeof data === 'string' ? data : defaultDataFolder(process.env),
      print,
      say,
      readStandardInput,
      standardInput: () => process.stdin,
    } satisfies CommandInput);
  } catch (error) {
    if (error instanceof BadInput) {
      say(error.message);
      return 2;
    }
    if (error instanceof TypeError && 'code' in error && String(error.code).startsWith('ERR_PARSE_ARGS')) {
      // Without what Node adds of words that begin with a dash, which nobody meant.
      const said = error.message.split('\n')[0]?.replace(/\. To specify a positional.*$/, '');
      say(`${name}: ${said}; correct it (see ${name} --help)`);
      return 2;
    }
    throw error;
  }
}

async function describeCommands(): Promise<string> {
  const commands = await Promise.all(Object.values(catalogue).map((load) => load()));
  const width = Math.max(0, ...commands.map((command) => command.name.length));
  return [
    'Usage: npm run -s bandwright -- COMMAND [--help] [--json] [--data DIR]',
    '',
    ...commands.map((command) => `  ${command.name.padEnd(width)}  ${command.summary}`),
    '',
    'Exit: 0 done, 1 judged negative or evidence broken, 2 bad input.',
  ].join('\n');
}

function describeCommand(command: Command): string {
  return `Usage: npm run -s bandwright -- ${command.name} ${command.usage}\n\n${command.help.trim()}\n\nAlways: --json (machine-readable), --data DIR (data folder), --help`;
}

function print(text: string): Promise<void> {
  return new Promise((resolve, reject) => {
    process.stdout.write(`${text}\n`, (error) => (error ? reject(error) : resolve()));
  });
}

function say(text: string): void {
  process.stderr.write(`${text}\n`);
}

async function readStandardInput(): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // A reader such as `head` that has seen enough is no fault of ours.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

process.exitCode = await runCommandLine(process.argv.slice(2));
