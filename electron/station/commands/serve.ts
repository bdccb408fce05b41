import { z } from 'zod';
import { BadInput, type Command } from './command.ts';
import { withDataFolder } from './data-folder-input.ts';
import { onEvidence } from './evidence-input.ts';

const portSchema = z.coerce.number().int().min(0).max(65_535);

export const serveCommand: Command = {
  name: 'serve',
  summary: 'run the station and serve its screen on this machine',
  usage: '[--port N]',
  help: `
Runs the station without a window and prints the address of its screen, with a key that lets one browser in.
Listens on 127.0.0.1 only. With --json the address comes as {"ready":true,"url":"…"}. Ends with Ctrl-C.

  --port N   wished port; another one when it is taken. Default: any`,
  options: { port: { type: 'string' } },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    if (positionals.length > 0)
      throw new BadInput(`serve: takes no "${positionals[0]}"; name the port with --port`);
    const port = portSchema.safeParse(options.port ?? '0');
    if (!port.success)
      throw new BadInput(`--port: "${options.port}" is no port; give a number from 0 to 65535`);
    const { serveStation } = await import('../serve.ts');
    const served = await withDataFolder(dataFolder, () => serveStation(dataFolder, port.data));
    const url = served.server.address();
    if (json) await print(JSON.stringify({ ready: true, url }));
    else {
      await print(url);
      say('Open this address in a browser on this machine. Ctrl-C ends it.');
    }
    await new Promise<void>((resolve) => {
      for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve());
      process.once('disconnect', () => resolve());
    });
    await served.close();
    // A channel to a parent that is listened to keeps a process alive.
    if (process.connected) process.disconnect();
    return 0;
  }),
};
