import { BadInput, type Command } from './command.ts';
import { buildPage } from './page-build.ts';
import { siteAccessOf, siteHelp, siteOptions, siteWishOf } from './site-input.ts';
import { untilEnded } from './until-ended.ts';

export const deskCommand: Command = {
  name: 'desk',
  summary: "the auditor's desk of a site: serials, searches, exports and proof across all benches",
  usage: '--site URL --password-file FILE [--authority FILE] [--port N]',
  help: `
Serves the auditor's screen on this machine and prints its address, with a key that lets one browser in. What it shows
comes from the site store (docs/site.md), read-only: no bench, no instruments, no data folder, and nothing is written.
Whom the server lets in is signed in: give the login of an auditor. In a window: npm start -- --site URL …
While the site is away the screen says so, and goes on when it is back. With --json {"ready":true,"url":"…"}.
${siteHelp}
  --port N               wished port; another one when it is taken. Default: any

Exit: 0 ended, 2 bad input.`,
  options: { ...siteOptions, port: { type: 'string' } },
  async run({ positionals, options, json, print, say }) {
    if (positionals.length > 0)
      throw new BadInput(`desk: takes no "${positionals[0]}"; name the site with --site`);
    const port = Number(options.port ?? '0');
    if (!(Number.isInteger(port) && port >= 0 && port <= 65_535))
      throw new BadInput(`--port: "${options.port}" is no port; give a number from 0 to 65535`);
    const access = await siteAccessOf(siteWishOf(options));
    const { findPageFolder } = await import('../serve/page-folder.ts');
    if (findPageFolder() === undefined) await buildPage(say);
    const { serveSiteDesk } = await import('../site/desk/serve-site-desk.ts');
    const served = await serveSiteDesk(access, port, (error) =>
      say(error instanceof Error ? (error.stack ?? error.message) : String(error)),
    );
    await served.desk.line.look();
    const url = served.server.address();
    if (json) await print(JSON.stringify({ ready: true, url }));
    else {
      await print(url);
      say('Open this address in a browser on this machine. Ctrl-C ends it.');
    }
    const { trouble } = served.desk;
    if (trouble !== null) say(`--site: ${trouble.message}; the screen says when that has changed`);
    await untilEnded();
    await served.close();
    if (process.connected) process.disconnect();
    return 0;
  },
};
