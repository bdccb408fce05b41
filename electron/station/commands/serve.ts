import { z } from 'zod';
import type { RemoteOptions } from '../serve/remote-options.ts';
import { BadInput, badInput, type Command, type OptionValues } from './command.ts';
import { withDataFolder } from './data-folder-input.ts';
import { onEvidence } from './evidence-input.ts';
import { readFaultFile, requireSimulated, seedOption } from './fault-file.ts';
import { buildPage } from './page-build.ts';
import { untilEnded } from './until-ended.ts';

const portSchema = z.coerce.number().int().min(0).max(65_535);

export const serveCommand: Command = {
  name: 'serve',
  summary: 'run the station and serve its screen on this machine',
  usage:
    '[--port N] [--seed N] [--faults FILE] [--remote HOST:PORT [--certificate FILE --private-key FILE] [--remote-name NAME]…]',
  help: `
Runs the station without a window and prints the address of its screen, with a key that lets one browser in.
Listens on 127.0.0.1 only. With --json the address comes as {"ready":true,"url":"…"}. Ends with Ctrl-C.

  --port N             wished port; another one when it is taken. Default: any
  --seed N             of the simulated instruments; the same seed makes the same noise. Default: 1
  --faults FILE        what goes wrong with simulated instruments of a demo folder, and when (milliseconds after the
                       start), by their ids: {"scale-1":[{"kind":"unplug","atMilliseconds":9000,"forMilliseconds":2000}]}
                       Kinds: noise, lost bytes, wrong unit, unplug, stale peaks, repeated peak, flood, endless line,
                       silence
  --remote HOST:PORT   opens the auditor's page to other desks too: read-only, signed in there with name (or badge) and
                       PIN. HOST is this machine's name or address as browsers open it. With --json also "remoteUrl"
  --certificate FILE   PEM; the workshop's certificate for HOST, with its chain. Needed beyond this machine
  --private-key FILE   PEM; the key of the certificate, without a password
  --remote-name NAME   a further name under which the page is opened; may be given several times, and must be when
                       HOST is 0.0.0.0 or ::

For a bench in its window the same stands in remote.json of the data folder, with paths from there on:
{"listen":"HOST:PORT","certificate":"desk.pem","privateKey":"desk.key","names":[]}. Without that file and without
--remote no other desk is let in.

Exit: 0 ended, 2 bad input.`,
  options: {
    port: { type: 'string' },
    seed: { type: 'string' },
    faults: { type: 'string' },
    remote: { type: 'string' },
    certificate: { type: 'string' },
    'private-key': { type: 'string' },
    'remote-name': { type: 'string', multiple: true },
  },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    if (positionals.length > 0)
      throw new BadInput(`serve: takes no "${positionals[0]}"; name the port with --port`);
    const port = portSchema.safeParse(options.port ?? '0');
    if (!port.success)
      throw new BadInput(`--port: "${options.port}" is no port; give a number from 0 to 65535`);
    const seed = seedOption(options);
    const faults = await readFaultFile(options.faults);
    const remote = await remoteOf(options);
    const { findPageFolder } = await import('../serve/page-folder.ts');
    const { serveStation } = await import('../serve.ts');
    const { endAtMistakes } = await import('../crash-report.ts');
    endAtMistakes(dataFolder);
    if (findPageFolder() === undefined) await buildPage(say);
    const served = await withDataFolder(dataFolder, () =>
      serveStation(dataFolder, port.data, {
        remote,
        ...(seed === undefined ? {} : { seed }),
        ...(faults === undefined ? {} : { faults }),
      }).catch((error: unknown) => {
        const code = error instanceof Error && 'code' in error ? String(error.code) : '';
        if (remote === undefined || !unusableAddress.has(code)) throw error;
        throw new BadInput(`--remote: ${options.remote} cannot be listened on (${code}); name another`);
      }),
    );
    try {
      if (faults !== undefined) requireSimulated(served.station, faults);
    } catch (error) {
      await served.close();
      throw error;
    }
    const url = served.server.address();
    const remoteUrl = served.remote?.url;
    if (json) await print(JSON.stringify({ ready: true, url, remoteUrl }));
    else {
      await print(url);
      say('Open this address in a browser on this machine. Ctrl-C ends it.');
      if (remoteUrl !== undefined) say(`From other desks, read-only: ${remoteUrl}`);
      if (remote?.certificateEnds) say(`The certificate ends at ${remote.certificateEnds}.`);
    }
    await untilEnded();
    await served.close();
    // A channel to a parent that is listened to keeps a process alive.
    if (process.connected) process.disconnect();
    return 0;
  }),
};

const unusableAddress: ReadonlySet<string> = new Set(['EADDRINUSE', 'EADDRNOTAVAIL', 'EACCES']);

/** The door for other desks, if it was asked for. */
async function remoteOf(options: OptionValues): Promise<RemoteOptions | undefined> {
  const text = (name: string) => (typeof options[name] === 'string' ? options[name] : undefined);
  const listen = text('remote');
  const names = Array.isArray(options['remote-name']) ? options['remote-name'].map(String) : [];
  if (listen === undefined) {
    const stray = ['certificate', 'private-key', 'remote-name'].find((name) => options[name] !== undefined);
    if (stray !== undefined) throw new BadInput(`--${stray}: belongs to --remote HOST:PORT; give that too`);
    return undefined;
  }
  const { remoteOptions } = await import('../serve/remote-options.ts');
  const checked = await remoteOptions(
    { listen, names, certificate: text('certificate'), privateKey: text('private-key') },
    Date.now(),
  );
  if (!checked.ok) throw badInput({ ...checked.error, field: `--${checked.error.field}` });
  return checked.value;
}
