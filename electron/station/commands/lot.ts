import { identifierSchema } from '../../../shared/identifier.ts';
import { BadInput, type Command, type CommandInput, type ExitCode } from './command.ts';
import { openEvidenceFor } from './evidence-input.ts';
import { withSite } from './site-input.ts';
import { alsoAtSite } from './site-station.ts';

const traceCommand: Command = {
  name: 'lot',
  summary: 'Trace a lot of grease or sealant to every job that used it',
  usage: 'LOT-ID',
  help: `
Prints what is known of the lot and every job that used it, oldest first: serial, date, state of the job, what was
taken and by whom. Reads beside a running station.

  --json   {"lotId","lot":{…}|null,"jobs":[{"jobId","serial","headId","openedAt","phase","uses":[{"stepId","at",
           "personId","person","quantity"}]}]}; "quantity" is in "lot"."unit", null where none was counted; "phase" is
           null while the job is at the bench. With --site alone {"lotId","benches":[…]}: the same for each bench that
           used the lot, with "benchId", "stationId", "branch" and "leftBehind"

Exit: 0 done (also where no job used it), 2 bad input or a lot that was never here.
`,
  options: {},
  async run(input) {
    const { json, dataFolder, print } = input;
    const lotId = lotOf(input);
    const { printedTrace, traceOfLot } = await import('../audit/lot-trace.ts');
    const evidence = await openEvidenceFor(dataFolder);
    try {
      const trace = traceOfLot(evidence, lotId);
      if (trace === null) throw neverHere(lotId);
      await print(json ? JSON.stringify(trace) : printedTrace(trace));
      return 0;
    } finally {
      evidence.close();
    }
  },
};

/** The trace from a lot to every job. */
export const lotCommand = alsoAtSite(traceCommand, lotAtSite);

/** A lot at all benches of a site. */
function lotAtSite(input: CommandInput): Promise<ExitCode> {
  const { json, print } = input;
  const lotId = lotOf(input);
  return withSite<ExitCode>(input, async (client) => {
    const { traceSiteLot } = await import('../site/site-lot.ts');
    const { traces } = await traceSiteLot(client, lotId);
    if (traces.length === 0) throw neverHere(lotId);
    if (json) {
      const benches = traces.map(({ place, trace: { lotId: _, ...trace } }) => ({ ...place, ...trace }));
      await print(JSON.stringify({ lotId, benches }));
      return 0;
    }
    const { printedTrace } = await import('../audit/lot-trace.ts');
    const told = traces.map(
      ({ place: { benchId, stationId, branch, leftBehind }, trace }) =>
        `Bench ${benchId}, station ${stationId}${leftBehind ? `, branch ${branch} which it LEFT BEHIND` : ''}\n${printedTrace(trace)}`,
    );
    await print(told.join('\n\n'));
    return 0;
  });
}

function lotOf({ positionals }: CommandInput): string {
  const [word, ...more] = positionals;
  if (word === undefined) throw new BadInput('LOT-ID: missing; give the number of the lot');
  if (more.length > 0) throw new BadInput(`LOT-ID: one at a time, not also "${more.join(' ')}"`);
  const lotId = identifierSchema.safeParse(word.trim());
  if (lotId.success) return lotId.data;
  throw new BadInput(`LOT-ID: "${word}" is none; give letters, digits, dots, dashes or underscores`);
}

function neverHere(lotId: string): BadInput {
  return new BadInput(`LOT-ID: "${lotId}" was never here; check the number on the label`);
}
