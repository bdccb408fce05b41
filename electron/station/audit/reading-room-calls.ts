import { z } from 'zod';
import { auditFilterSchema, chartWishSchema } from '../../../shared/audit/filter.ts';
import { ok, type Result } from '../../../shared/result.ts';
import { createEvidenceReader, type EvidenceReader } from '../store/evidence-reader.ts';
import type { Database } from '../store/sqlite.ts';
import { calibratedInstruments } from './calibrated-instruments.ts';
import { checkChart } from './check-chart.ts';
import { evidenceFilter } from './evidence-filter.ts';
import { foundJobs } from './found-job.ts';
import { createJobSearch, type JobSearch } from './job-search.ts';
import { usesOfLot } from './lot-uses.ts';
import { type NamesOfPeople, namesOfPeople } from './people-names.ts';
import { processChart } from './process-chart.ts';
import { searchChoices } from './search-choices.ts';
import { buildTimeline } from './timeline-view.ts';

/** What a question is answered from: one connection that can only read. */
export interface ReadingRoomSources {
  readonly database: Database;
  readonly reader: EvidenceReader;
  readonly searchJobs: JobSearch;
  /** People come and go: read anew when anything was written. */
  names(): NamesOfPeople;
  now(): number;
}

export function readingRoomSources(database: Database, now: () => number): ReadingRoomSources {
  const reader = createEvidenceReader(database);
  // Changes with each commit of another connection, and this one writes nothing.
  const version = database.prepare<[], number>('PRAGMA data_version').pluck();
  let known: { readonly version: number | undefined; readonly names: NamesOfPeople } | undefined;
  return {
    database,
    reader,
    searchJobs: createJobSearch(database),
    names() {
      const now = version.get();
      if (known === undefined || known.version !== now)
        known = { version: now, names: namesOfPeople(reader) };
      return known.names;
    },
    now,
  };
}

const jobsOnPage = 50;
const longestSearchMilliseconds = 700;
const text = z.string().max(120);

function question<Shape extends z.ZodType, Answer>(
  parameters: Shape,
  answer: (sources: ReadingRoomSources, parameters: z.infer<Shape>) => Result<Answer>,
) {
  return { parameters, answer };
}

/** Every question that the reading room answers. None of them can change anything: its connection cannot write. */
export const readingRoomQuestions = {
  timeline: question(z.object({ serial: text }), ({ reader, names }, { serial }) =>
    ok(buildTimeline(reader, serial, names())),
  ),
  findSerials: question(z.object({ text }), ({ reader }, { text: begin }) =>
    ok({ serials: [...reader.findSerials(begin, 50)] }),
  ),
  hasSerial: question(z.object({ serial: text }), ({ reader }, { serial }) =>
    ok(reader.jobsOfSerial(serial).length > 0),
  ),
  hasRecord: question(z.object({ jobId: text }), ({ reader }, { jobId }) =>
    ok(reader.recordHashOf(jobId) !== undefined),
  ),
  searchJobs: question(
    z.object({ filter: auditFilterSchema, before: z.int().positive().nullable() }),
    (sources, { filter, before }) => {
      const asked = evidenceFilter(sources.reader, filter);
      if (!asked.ok) return asked;
      const hits = sources.searchJobs(asked.value, before, {
        jobs: jobsOnPage,
        milliseconds: longestSearchMilliseconds,
        now: sources.now,
      });
      return ok({ jobs: foundJobs(sources.reader, hits.jobIds, sources.names()), before: hits.before });
    },
  ),
  lotUses: question(z.object({ lotId: text }), ({ reader, names }, { lotId }) =>
    ok({ uses: usesOfLot(reader, lotId, names()) }),
  ),
  searchChoices: question(z.object({}), ({ database, reader }) => ok(searchChoices(database, reader))),
  evidenceFilter: question(z.object({ filter: auditFilterSchema }), ({ reader }, { filter }) =>
    evidenceFilter(reader, filter),
  ),
  processChart: question(chartWishSchema, ({ database, reader, names }, wish) =>
    processChart({ database, reader, nameOf: names() }, wish),
  ),
  calibratedInstruments: question(z.object({}), ({ reader }) =>
    ok({ instruments: calibratedInstruments(reader) }),
  ),
  checkChart: question(z.object({ instrumentId: text }), ({ reader, names }, { instrumentId }) =>
    checkChart(reader, instrumentId, names()),
  ),
} as const;

export type Question = keyof typeof readingRoomQuestions;
export type QuestionParameters<Name extends Question> = z.input<
  (typeof readingRoomQuestions)[Name]['parameters']
>;
export type Answer<Name extends Question> =
  ReturnType<(typeof readingRoomQuestions)[Name]['answer']> extends Result<infer Value> ? Value : never;
