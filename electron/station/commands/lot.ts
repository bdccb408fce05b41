import { identifierSchema } from '../../../shared/identifier.ts';
import { BadInput } from './command.ts';
import { openEvidenceFor } from './evidence-input.ts';
import { alsoAtSite } from './site-station.ts';

/** The trace from a lot to every job. */
export const lotCommand = alsoAtSite({
  name: 'lot',
  summary: 'Trace a lot of grease or sealant to every job that used it',
  usage: 'LOT-ID',
  help: `
Prints what is known of the lot and every job that used it, oldest first: serial, date, state of the job, what was
taken and by whom. Reads beside a running station.

  --json   {"lotId","lot":{…}|null,"jobs":[{"jobId","serial","headId","openedAt","phase","uses":[{"stepId","at",
           "personId","person","quantity"}]}]}; "quantity" is in "lot"."unit", null where none was counted; "phase" is
           null while the job is at the bench

Exit: 0 done (also where no job used it), 2 bad input or a lot that was never here.
`,
  options: {},
  async run({ positionals, json, dataFolder, print }) {
    const [word, ...more] = positionals;
    if (word === undefined) throw new BadInput('LOT-ID: missing; give the number of the lot');
    if (more.length > 0) throw new BadInput(`LOT-ID: one at a time, not also "${more.join(' ')}"`);
    const lotId = identifierSchema.safeParse(word.trim());
    if (!lotId.success) {
      throw new BadInput(`LOT-ID: "${word}" is none; give letters, digits, dots, dashes or underscores`);
    }
    const { printedTrace, traceOfLot } = await import('../audit/lot-trace.ts');
    const evidence = await openEvidenceFor(dataFolder);
    try {
      const trace = traceOfLot(evidence, lotId.data);
      if (trace === null) {
        throw new BadInput(`LOT-ID: "${word}" was never here; check the number on the label`);
      }
      await print(json ? JSON.stringify(trace) : printedTrace(trace));
      return 0;
    } finally {
      evidence.close();
    }
  },
});
