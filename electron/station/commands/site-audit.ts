import { availableParallelism } from 'node:os';
import { findingText } from '../../../shared/audit/finding.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import type { Problem } from '../audit/problem.ts';
import { BadInput, type CommandInput, type ExitCode } from './command.ts';
import { withSite } from './site-input.ts';

/** A serial across all benches of a site in one timeline. */
export function serialAtSite(input: CommandInput, serial: string): Promise<ExitCode> {
  const { options, json, print, say } = input;
  if (options.csv === true)
    throw new BadInput('--csv: is for one data folder; use export csv --serial with --site');
  return withSite<ExitCode>(input, async (client) => {
    const { readSiteVisits } = await import('../site/site-serial.ts');
    const { visitAsJson } = await import('../audit/timeline.ts');
    const timeline = await readSiteVisits(client, serial);
    try {
      const { visits } = timeline;
      if (json) {
        const told = visits.map(({ benchId, stationId, branch, isLeftBehind, visit, reader }) => ({
          ...{ benchId, stationId, branch, leftBehind: isLeftBehind },
          ...visitAsJson(reader, visit),
        }));
        await print(canonicalJson({ serial, visits: told }));
      } else if (visits.length === 0) await print(`serial ${serial}: no visit is recorded at any bench`);
      else {
        const { printedVisit } = await import('../audit/printed-visit.ts');
        const told = visits.map(
          ({ benchId, stationId, branch, isLeftBehind, visit }) =>
            `Bench ${benchId}, station ${stationId}${isLeftBehind ? `, branch ${branch} which it LEFT BEHIND` : ''}\n${printedVisit(visit)}`,
        );
        await print([`serial ${serial}`, ...told].join('\n\n'));
      }
      const damage = visits.flatMap(({ stationId, visit }) =>
        visit.damage.map((found) => `${stationId}: ${findingText(found)}`),
      );
      for (const sentence of damage) say(`${sentence}; run verify --site to see all`);
      return damage.length > 0 ? 1 : 0;
    } finally {
      timeline.close();
    }
  });
}

const printedProblems = 10_000;

/** The chain of one station, or of all, from the site store alone. */
export function verifyAtSiteCommand(input: CommandInput, trustedKeys: readonly string[]): Promise<ExitCode> {
  const { options, json, print, say } = input;
  return withSite<ExitCode>(input, async (client) => {
    const { readChains } = await import('../site/site-rows.ts');
    const { verifyAtSite } = await import('../site/site-verify.ts');
    const station = typeof options.station === 'string' ? options.station : undefined;
    const chains = await readChains(client, station === undefined ? null : [station]);
    if (chains.length === 0)
      throw new BadInput(
        station === undefined
          ? '--site: no station has pushed there'
          : `--station: the site has no station "${station}"`,
      );
    const told = [];
    for (const branch of chains) {
      const problems: Problem[] = [];
      const result = await verifyAtSite(client, {
        threads: availableParallelism(),
        ...{ chains, branch, trustedKeys, stages: options.chain === true ? ('chain' as const) : undefined },
        onProblem(problem) {
          if (problems.length < printedProblems) problems.push(problem);
          if (!json) say(`${branch.station_id}: ${problem.kind}: ${problem.sentence}`);
        },
      });
      if (result === null) throw new Error('nobody stops this check');
      const about = { stationId: branch.station_id, benchId: branch.bench_id, branch: branch.branch };
      told.push({ ...about, ...result, problems });
      if (!json) {
        const counts = `${result.events} events, ${result.records} records, ${result.documents} documents`;
        const what = result.stage === 'chain' ? 'chain ' : '';
        const verdict = `${what}${result.intact ? 'intact' : `NOT INTACT, ${result.problemCount} findings`}`;
        await print(
          `station ${about.stationId}, bench ${about.benchId}, branch ${about.branch}: ${verdict}: ${counts}; keys ${result.keyIds.join(' ')}`,
        );
      }
    }
    const intact = told.every((one) => one.intact);
    if (json) await print(JSON.stringify({ intact, chains: told }));
    return intact ? 0 : 1;
  });
}

const mostHits = 1000;

/** Jobs across all benches. */
export function searchAtSite(input: CommandInput): Promise<ExitCode> {
  const { options, json, print } = input;
  return withSite<ExitCode>(input, async (client) => {
    const { auditFilterSchema } = await import('../../../shared/audit/filter.ts');
    const { searchSite } = await import('../site/site-search.ts');
    const given = {
      serial: options.serial,
      headId: options.head,
      personId: options.person,
      instrumentId: options.instrument,
      certificate: options.certificate,
      lotId: options.lot,
      decision: options.decision,
      quantity: options.quantity,
      from: options.from,
      until: options.until,
    };
    const filter = auditFilterSchema.safeParse(given);
    if (!filter.success) {
      const [issue] = filter.error.issues;
      throw new BadInput(`search: ${issue?.path.join('.')} ${issue?.message}`);
    }
    const { certificate, from, until, ...rest } = filter.data;
    const { beginOf, endOf } = await import('../audit/day-range.ts');
    const time = { from: beginOf(from), until: endOf(until) };
    const hits = await searchSite(client, { ...rest, certificateHash: certificate, ...time }, mostHits);
    if (json) await print(JSON.stringify({ jobs: hits.map(({ chainId: _, ...hit }) => hit) }));
    else if (hits.length === 0) await print('no job meets that');
    else {
      for (const { openedAt, benchId, serial, jobId, headId, personId, phase } of hits)
        await print(
          `${openedAt}  ${benchId}  ${serial}  job ${jobId}  head ${headId}  ${phase ?? 'open'}  ${personId ?? ''}`.trimEnd(),
        );
    }
    return 0;
  });
}
