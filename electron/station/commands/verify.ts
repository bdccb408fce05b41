import { hashSchema } from '../../../shared/identifier.ts';
import type { Problem } from '../audit/problem.ts';
import { BadInput, type Command } from './command.ts';
import { withEvidence } from './evidence-input.ts';
import { siteHelp, siteOptions } from './site-input.ts';

/** Findings printed in one JSON object; beyond that only their number. */
const printedProblems = 10_000;

export const verifyCommand: Command = {
  name: 'verify',
  summary: 'check that nothing in the evidence was altered, removed, reordered or cut off',
  usage: '[--key ID]… [--site URL [--station ID]]',
  help: `
Checks the whole evidence of a data folder, beside a running station too: the hash chain, the station's seals and
signatures, every record against its events, the index, the documents, the guards and the file; and replays the raw
bytes of every reading through the stored profile and judges it again. Names each record that does not fit.
Exit 0 intact, 1 not intact, 2 nothing to check.

  --key ID   a key that you know to be the workshop's; may be given several times. Without it the first key of the
             chain is believed: compare the id that is printed with one that you got from elsewhere
  --json     {"intact","events","records","documents","problemCount","keyIds","problems":[{"kind","serial","jobId",
             "sequence","stream","sentence"}]}

From the site store alone (docs/site.md): every chain there, or those of one station; needs room on the disk for a
copy of the chain. With --json {"intact","chains":[{"stationId","benchId","branch", and as above}]}:
  --station ID           as "site status" and "serial --site" name it
${siteHelp}`,
  options: { key: { type: 'string', multiple: true }, station: { type: 'string' }, ...siteOptions },
  async run(input) {
    const { positionals, options, json, dataFolder, print, say } = input;
    if (positionals.length > 0)
      throw new BadInput(`verify: takes no "${positionals[0]}"; name the folder with --data`);
    const trustedKeys = (Array.isArray(options.key) ? options.key : []).map((key) => {
      const id = hashSchema.safeParse(key);
      if (id.success) return id.data;
      throw new BadInput(`--key: "${key}" is no key id; give its 64 hexadecimal digits`);
    });
    if (options.site !== undefined) {
      const { verifyAtSiteCommand } = await import('./site-audit.ts');
      return verifyAtSiteCommand(input, trustedKeys);
    }
    const { noteLastVerify } = await import('../audit/last-verify.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const { runVerify } = await import('../audit/verify-run.ts');
    const problems: Problem[] = [];
    let unvouched = 0;
    const progress = createProgress(say);
    const result = await withEvidence(() =>
      runVerify({
        folder: dataFolder,
        trustedKeys,
        onProblem(problem) {
          if (problem.kind === 'key') unvouched += 1;
          if (problems.length < printedProblems) problems.push(problem);
          if (!json) say(`${problem.kind}: ${problem.sentence}`);
        },
        onProgress: progress,
      }),
    );
    if (result === null) return 2;
    noteLastVerify(dataFolder, { ...result, at: createSystemClock().wallTime() });
    if (json) await print(JSON.stringify({ ...result, problems }));
    else {
      const { events, records, documents, problemCount, keyIds } = result;
      const counts = `${events} events, ${records} records, ${documents} documents`;
      if (result.intact) await print(`intact: ${counts}`);
      // Nothing was altered then; who signed is the open question.
      else if (unvouched === problemCount)
        await print(`KEY NOT VOUCHED FOR, everything else intact: ${problemCount} findings in ${counts}`);
      else await print(`NOT INTACT: ${problemCount} findings in ${counts}`);
      for (const keyId of keyIds) await print(`key ${keyId}`);
    }
    return result.intact ? 0 : 1;
  },
};

/** Says on standard error how far it is, every few seconds of a long check. */
function createProgress(say: (text: string) => void): (progress: { done: number; total: number }) => void {
  let told = performance.now();
  return ({ done, total }) => {
    if (performance.now() - told < 5000) return;
    told = performance.now();
    say(`${Math.floor((done / total) * 100)} %`);
  };
}
