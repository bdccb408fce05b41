import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { BadInput, type Command, type OptionValues } from './command.ts';
import { alsoAtSite } from './site-station.ts';

const languages = ['en', 'de'] as const;
const papers = ['a4', 'letter'] as const;
const meanings = ['serial', 'job'] as const;

/** Makes the same PDF files as the screen. */
const documentOfFolder: Command = {
  name: 'document',
  summary: 'Make the service record of a job or of every visit of a serial as PDF, or its tag label',
  usage: 'SERIAL-OR-JOB [--label] [--out FILE] [--language en|de] [--paper a4|letter] [--as serial|job]',
  help: `
JOB     the service record of one job
SERIAL  every visit of that serial in one PDF, oldest first

  --label          the tag label (62 mm × 40 mm) of the job, or of the newest visit of the serial
  --out FILE       where to write; default service-record-SERIAL-JOB.pdf, service-history-SERIAL.pdf or
                   tag-SERIAL-JOB.pdf in the current folder. An existing file is replaced.
  --language       en (default) or de
  --paper          a4 (default) or letter; labels have their own size
  --as             what the word is, where a serial and a job have the same name

The same evidence gives the same bytes, here and on the screen. Jobs that are not released say so on every page.
Prints the path of the file; with --json file, kind, serial, jobs, bytes and sha256.

Exit: 0 done, 2 bad input.
`,
  options: {
    label: { type: 'boolean' },
    out: { type: 'string' },
    language: { type: 'string' },
    paper: { type: 'string' },
    as: { type: 'string' },
  },
  async run({ positionals, options, json, dataFolder, print }) {
    const [word] = positionals;
    if (word === undefined || positionals.length > 1) {
      throw new BadInput('document: give one serial or one job, like document SLT-1001');
    }
    const language = choice('language', options, languages);
    const paper = choice('paper', options, papers);
    const { makeDocument, makeSerialDocument } = await import('../documents/make-document.ts');
    const { sha256 } = await import('../store/sha256.ts');
    const evidence = await openEvidenceOrRefuse(dataFolder);
    try {
      const subject = subjectOf(evidence, word, choice('as', options, meanings));
      const isLabel = options.label === true;
      const { serial } = subject;
      const newest = subject.jobs.at(-1) ?? '';
      const isHistory = subject.isSerial && !isLabel;
      const pdf = isHistory
        ? await makeSerialDocument(evidence, serial, { language, paper })
        : await makeDocument(evidence, newest, isLabel ? 'label' : 'record', { language, paper });
      if (pdf === undefined)
        throw new Error(`job ${newest} of ${serial} is in the index but not in the events`);
      const kind = isLabel ? 'label' : isHistory ? 'history' : 'record';
      const name = {
        label: `tag-${serial}-${newest}`,
        history: `service-history-${serial}`,
        record: `service-record-${serial}-${newest}`,
      }[kind];
      const file = resolve(
        typeof options.out === 'string' ? options.out : `${name.replaceAll(/[^\w.-]/g, '_')}.pdf`,
      );
      await writeOrRefuse(file, pdf);
      const jobs = isHistory ? subject.jobs : [newest];
      await print(
        json ? JSON.stringify({ file, kind, serial, jobs, bytes: pdf.length, sha256: sha256(pdf) }) : file,
      );
    } finally {
      evidence.close();
    }
    return 0;
  },
};

/** Across all benches: every visit of a serial in one document. */
export const documentCommand = alsoAtSite(documentOfFolder, (input) => {
  const [serial, ...more] = input.positionals;
  const { label, as, language, paper } = input.options;
  if (serial === undefined || more.length > 0 || label === true || as === 'job') return null;
  choice('language', { language }, languages);
  choice('paper', { paper }, papers);
  return import('./site-exports.ts').then(({ documentAtSite }) => documentAtSite(input, serial));
});

interface Index {
  findJob(jobId: string): { readonly jobId: string; readonly serial: string } | undefined;
  jobsOfSerial(serial: string): readonly { readonly jobId: string }[];
}

/** What a word of the command line means: a job, or a serial with its visits. */
function subjectOf(
  index: Index,
  word: string,
  meaning: (typeof meanings)[number] | undefined,
): { readonly serial: string; readonly jobs: readonly string[]; readonly isSerial: boolean } {
  const job = meaning === 'serial' ? undefined : index.findJob(word);
  const visits = meaning === 'job' ? [] : index.jobsOfSerial(word);
  if (job !== undefined && visits.length > 0) {
    throw new BadInput(`${word}: is a serial and a job too; add --as serial or --as job`);
  }
  if (job !== undefined) return { serial: job.serial, jobs: [job.jobId], isSerial: false };
  if (visits.length > 0) {
    return { serial: word, jobs: visits.map(({ jobId }) => jobId), isSerial: true };
  }
  const kinds = meaning ?? 'serial or job';
  throw new BadInput(
    `${word}: is no ${kinds} in this data folder; check it, or name another with --data DIR`,
  );
}

function choice<Choice extends string>(
  name: string,
  options: OptionValues,
  choices: readonly Choice[],
): Choice | undefined {
  const given = options[name];
  if (given === undefined) return undefined;
  const found = choices.find((one) => one === given);
  if (found !== undefined) return found;
  throw new BadInput(`--${name}: "${String(given)}" is not known; choose one of ${choices.join(', ')}`);
}

async function openEvidenceOrRefuse(dataFolder: string) {
  const { openEvidence } = await import('../store/open-store.ts');
  const { StoreFault } = await import('../store/store-fault.ts');
  try {
    return openEvidence(dataFolder);
  } catch (error) {
    if (error instanceof StoreFault) throw new BadInput(`--data: ${error.message}`);
    throw error;
  }
}

async function writeOrRefuse(file: string, pdf: Uint8Array): Promise<void> {
  try {
    await writeFile(file, pdf);
  } catch (error) {
    const reason = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new BadInput(`--out: ${file} cannot be written (${reason}); name a file in an existing folder`);
  }
}
