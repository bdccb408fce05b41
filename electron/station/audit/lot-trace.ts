import { foldLot } from '../../../shared/consumable/fold.ts';
import { type Lot, type LotUse, lotEventSchema } from '../../../shared/consumable/lot.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { type NamesOfPeople, namesOfPeople } from './people-names.ts';

/** A lot and the jobs that used it. */
export interface LotTrace {
  readonly lotId: string;
  /** Null where jobs named it but the stock never had it. */
  readonly lot: Omit<Lot, 'uses' | 'version'> | null;
  readonly jobs: readonly {
    readonly jobId: string;
    readonly serial: string;
    readonly headId: string;
    /** UTC. */
    readonly openedAt: string;
    /** Null while the job is at the bench. */
    readonly phase: string | null;
    readonly uses: readonly (Omit<LotUse, 'jobId'> & { readonly person: string })[];
  }[];
}

const jobsAtOnce = 500;

/** Every job that used a lot, oldest first; null for a lot that was never here. */
export function traceOfLot(reader: EvidenceReader, lotId: string): LotTrace | null {
  const events = reader.readStream(`lot/${lotId}`).map(({ body }) => lotEventSchema.parse(body));
  const state = events.reduce<Lot | undefined>(foldLot, undefined);
  const names = namesOfPeople(reader);
  const usesOfJob = Map.groupBy(state?.uses ?? [], ({ jobId }) => jobId);
  const jobs: LotTrace['jobs'][number][] = [];
  for (let after = 0, more = true; more; ) {
    const page = reader.findJobs({ lotId }, after, jobsAtOnce);
    for (const { jobId, serial, headId, openedAt, phase } of page) {
      const uses = (usesOfJob.get(jobId) ?? []).map((use) => namedUse(use, names));
      jobs.push({ jobId, serial, headId, openedAt, phase, uses });
    }
    after = page.at(-1)?.sequence ?? after;
    more = page.length === jobsAtOnce;
  }
  if (state === undefined && jobs.length === 0) return null;
  if (state === undefined) return { lotId, lot: null, jobs };
  const { uses: _uses, version: _version, ...lot } = state;
  return { lotId, lot, jobs };
}

function namedUse({ jobId: _job, ...use }: LotUse, names: NamesOfPeople) {
  return { ...use, person: names(use.personId) };
}

/** The trace as text for people. */
export function printedTrace({ lotId, lot, jobs }: LotTrace): string {
  const about =
    lot === null
      ? `lot ${lotId}: named by jobs, never received into stock`
      : [
          `lot ${lotId}: ${lot.name.en}`,
          `received ${lot.received} ${lot.unit}, left ${lot.remaining} ${lot.unit}`,
          `expiry ${lot.expiry ?? 'none stated'}${lot.openedAt === null ? '' : `, opened ${lot.openedAt}`}`,
          ...(lot.blocked === null ? [] : [`BLOCKED: ${lot.blocked}`]),
        ].join('\n');
  const unit = lot?.unit ?? '';
  const lines = jobs.flatMap(({ serial, jobId, openedAt, phase, uses }) => [
    `${serial}  ${openedAt}  ${phase ?? 'at the bench'}  job ${jobId}`,
    ...uses.map(
      ({ stepId, at, person, quantity }) =>
        `    ${at}  ${stepId}  ${quantity === null ? 'not counted' : `${quantity} ${unit}`}  ${person}`,
    ),
  ]);
  return [about, '', jobs.length === 0 ? 'no job has used it' : lines.join('\n')].join('\n');
}
