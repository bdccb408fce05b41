import { availableParallelism } from 'node:os';
import { hashSchema } from '../../../shared/identifier.ts';
import type { Problem } from '../audit/problem.ts';
import type { VerifyProgressCounts } from '../audit/verify-result.ts';
import { BadInput, type Command } from './command.ts';
import { withEvidence } from './evidence-input.ts';
import { siteHelp, siteOptions } from './site-input.ts';

/** Findings printed in one JSON object; beyond that only their number. */
const printedProblems = 10_000;

export const verifyCommand: Command = {
  name: 'verify',
  summary: 'check that nothing in the evidence was altered, removed, reordered or cut off',
  usage: '[--key ID]… [--chain] [--site URL [--station ID]]',
  help: `
Checks the whole evidence of a data folder, beside a running station too, in two stages. First the chain: every event,
record and document is byte for byte what the station sealed, none is missing, none was added; the result is said as
soon as it is known. Then the content: the index, every record's signature and that its events still give it, the
database file; and the raw bytes of every reading are read again through the stored profile and judged again. Names
each record that does not fit. Exit 0 intact, 1 not intact, 2 nothing to check.

  --chain    the first stage alone, some ten times as quick: whether anything was altered since it was sealed. It says
             nothing of index, records' own signatures, replay, judgements and the file: "content" checks them
  --key ID   a key that you know to be the workshop's; may be given several times. Without it the first key of the
             chain is believed: compare the id that is printed with one that you got from elsewhere
  --json     {"stage":"content" or, with --chain, "chain","intact","chain":{"intact","problemCount"},"events",
             "records","documents","problemCount","keyIds","problems":[{"kind","serial","jobId",
             "sequence","stream","finding":{"code","values"},"sentence"}]}

From the site store alone (docs/site.md): every chain there, or those of one station; needs room on the disk for a
copy of the chain. With --json {"intact","chains":[{"stationId","benchId","branch", and as above}]}:
  --station ID           as "site status" and "serial --site" name it
${siteHelp}`,
  options: {
    key: { type: 'string', multiple: true },
    chain: { type: 'boolean' },
    station: { type: 'string' },
    ...siteOptions,
  },
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
    const stages = options.chain === true ? ('chain' as const) : undefined;
    const progress = createProgress(say);
    const result = await withEvidence(() =>
      runVerify({
        folder: dataFolder,
        trustedKeys,
        stages,
        threads: availableParallelism(),
        onProblem(problem) {
          if (problem.kind === 'key') unvouched += 1;
          if (problems.length < printedProblems) problems.push(problem);
          if (!json) say(`${problem.kind}: ${problem.sentence}`);
        },
        onProgress: progress,
      }),
    );
    if (result === null) return 2;
    // Only both stages are a verification.
    if (stages === undefined) noteLastVerify(dataFolder, { ...result, at: createSystemClock().wallTime() });
    if (json) await print(JSON.stringify({ ...result, problems }));
    else {
      const { events, records, documents, problemCount, keyIds } = result;
      const counts = `${events} events, ${records} records, ${documents} documents`;
      const what = stages === undefined ? '' : 'chain ';
      if (result.intact) await print(`${what}intact: ${counts}`);
      // Nothing was altered then; who signed is the open question.
      else if (unvouched === problemCount)
        await print(
          `${what}KEY NOT VOUCHED FOR, everything else intact: ${problemCount} findings in ${counts}`,
        );
      else await print(`${what}NOT INTACT: ${problemCount} findings in ${counts}`);
      if (stages === 'chain')
        await print(
          'not checked: index, records against their events and their own signatures, replay, judgements, database file',
        );
      for (const keyId of keyIds) await print(`key ${keyId}`);
    }
    return result.intact ? 0 : 1;
  },
};

/** Says on standard error how the first stage ended, and every few seconds of a long check how far it is. */
function createProgress(say: (text: string) => void): (progress: VerifyProgressCounts) => void {
  let told = performance.now();
  let isChainTold = false;
  return ({ stage, done, total, chain }) => {
    if (chain !== null && !isChainTold) {
      isChainTold = true;
      const verdict = chain.intact ? 'chain intact' : `chain: ${chain.problemCount} findings`;
      say(`${verdict}; its content is now read and judged again`);
    }
    if (performance.now() - told < 5000) return;
    told = performance.now();
    say(`${stage} ${Math.floor((done / total) * 100)} %`);
  };
}
