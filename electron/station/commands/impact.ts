import { readAsFound } from '../../../shared/calibration/as-found.ts';
import { daySchema, identifierSchema } from '../../../shared/identifier.ts';
import type { ImpactEntry } from '../audit/impact.ts';
import { BadInput, badInput, readInput } from './command.ts';
import { openEvidenceFor } from './evidence-input.ts';
import { readJsonDocument } from './json-documents.ts';
import { alsoAtSite } from './site-station.ts';

/** What an error that a calibration found means for the records made before it. */
export const impactCommand = alsoAtSite({
  name: 'impact',
  summary: 'Judge every record of an instrument again with the error that its calibration found',
  usage: '--instrument ID --as-found FILE [--since DAY] [--all]',
  help: `
Takes every captured reading made with the instrument since its last good calibration, judges it again as if the
as-found error had been known, and lists the decisions that change. Nothing is altered; reads beside a running station.

  --instrument ID   as the register calls it
  --as-found FILE   JSON, or - for standard input: a whole certificate, or
                    {"unit":"N.m","date":"2026-11-20","points":[{"reference":20,"error":0.4}, …]} with two of
                    indication, reference and error (= indication − reference) at each point, or
                    {"unit":"N.m","error":0.4} for one error over the whole range. "date" is the day of the
                    calibration that found it; readings after that day are left out. Without it the day is looked
                    up in the register by the same errors, else readings up to now count
  --since DAY       begin there instead of at the last certificate before that day
  --all             list unchanged readings as well
  --json            {"instrumentId","name","lastGoodCalibration","since","until","judged","changed","unknown",
                    "omitted","captures":[{"captureId","jobId","serial","phase","stepId","stepTitle","at","outcome","unit",
                    "recorded":{"value","decision"},"again":{"value","shift","decision","conformance"},"reason"}]}

outcome  changed, unchanged, or unknown where the as-found range does not reach the reading: a person must look
shift    what the as-found error changes of the value, in "unit"

omitted  readings that were altered or removed and so are not judged

Exit: 0 no decision changes, 1 some change, cannot be said or were altered, 2 bad input.
`,
  options: {
    instrument: { type: 'string' },
    'as-found': { type: 'string' },
    since: { type: 'string' },
    all: { type: 'boolean' },
  },
  async run(input) {
    const { positionals, options, json, dataFolder, print, say } = input;
    if (positionals.length > 0) throw new BadInput(`impact: takes no "${positionals[0]}"; see --help`);
    const instrumentId = identifierSchema.safeParse(options.instrument);
    if (!instrumentId.success) {
      throw new BadInput('--instrument: missing or no id; give the instrument as the register calls it');
    }
    const file = options['as-found'];
    if (typeof file !== 'string') {
      throw new BadInput('--as-found: missing; give a JSON file of errors, or - for standard input');
    }
    const since = options.since === undefined ? undefined : daySchema.safeParse(options.since);
    if (since?.success === false) {
      throw new BadInput(`--since: "${options.since}" is no day; write it like 2026-03-01`);
    }
    const report = readAsFound(readJsonDocument(await readInput(input, file)));
    if (!report.ok) throw badInput(report.error);

    const { checkQuantity, impactWindow, instrumentOf, judgeCapturesAgain } = await import(
      '../audit/impact.ts'
    );
    const evidence = await openEvidenceFor(dataFolder);
    try {
      const id = instrumentId.data;
      const instrument = instrumentOf(evidence, id);
      if (instrument === undefined && evidence.countCaptures({ instrumentId: id }) === 0) {
        const known = new Set(evidence.readStreams('instrument/').map(({ stream }) => stream.slice(11)));
        const list = known.size === 0 ? 'none is registered' : `choose one of ${[...known].join(', ')}`;
        throw new BadInput(`--instrument: "${id}" is not known here; ${list}`);
      }
      const fits = instrument === undefined ? undefined : checkQuantity(instrument, report.value);
      if (fits?.ok === false) throw badInput(fits.error);
      const certificates = instrument?.certificates.map(({ certificate }) => certificate) ?? [];
      const window = impactWindow(certificates, report.value, since?.data);
      const counts = { judged: 0, changed: 0, unknown: 0, omitted: 0 };
      const captures: ImpactEntry[] = [];
      for (const entry of judgeCapturesAgain(evidence, id, report.value, window)) {
        if (entry === 'altered') {
          counts.omitted += 1;
          continue;
        }
        counts.judged += 1;
        if (entry.outcome !== 'unchanged') counts[entry.outcome] += 1;
        if (entry.outcome !== 'unchanged' || options.all === true) captures.push(entry);
      }
      const name = instrument?.name ?? id;
      if (json) await print(JSON.stringify({ instrumentId: id, name, ...window, ...counts, captures }));
      else {
        const { number, date } = window.lastGoodCalibration ?? {};
        const calibration =
          number === undefined ? 'no earlier certificate' : `certificate ${number} of ${date}`;
        const until = window.until === null ? '' : ` until ${window.until}`;
        await print(
          [
            `${name}, since ${window.since ?? 'the beginning'}${until} (${calibration}): ${counts.judged} judged again`,
            ...captures.map(printedEntry),
            `decisions that change: ${counts.changed}, that cannot be said: ${counts.unknown}`,
          ].join('\n'),
        );
      }
      const { changed, unknown, omitted } = counts;
      if (omitted > 0) say(`${omitted} readings were altered or removed and are not judged; run verify`);
      return changed + unknown + omitted > 0 ? 1 : 0;
    } finally {
      evidence.close();
    }
  },
});

function printedEntry({
  serial,
  at,
  stepId,
  unit,
  recorded,
  again,
  reason,
  phase,
  jobId,
}: ImpactEntry): string {
  const then =
    again === null
      ? `cannot be said: ${reason?.message ?? ''}`
      : `→ ${Number(again.value.toPrecision(8))} ${unit} ${again.decision}`;
  const job = `${phase ?? 'at the bench'}, job ${jobId}`;
  return `${serial}  ${at}  ${stepId}  ${recorded.value} ${unit} ${recorded.decision} ${then}  (${job})`;
}
