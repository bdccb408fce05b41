import { stationReplay } from '../../../electron/station/audit/station-replay.ts';
import { verifyFolder } from '../../../electron/station/audit/verify-folder.ts';
import type { EvidenceReader } from '../../../electron/station/store/evidence-reader.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { Acknowledged } from './told.ts';

/** Keeps what was acknowledged and looks for it in the evidence afterwards. */
export class Ledger {
  readonly #entries: Acknowledged[] = [];
  /** Events of each job at the last look. */
  readonly #versions = new Map<string, number>();
  /** Hash of the first event: each database has its own. */
  #first: string | undefined;
  #checked = 0;
  #lost = 0;

  note(entry: Acknowledged): void {
    this.#entries.push(entry);
  }

  get acknowledged(): number {
    return this.#entries.length;
  }

  get captures(): number {
    return this.#entries.filter(({ command }) => command.startsWith('capture')).length;
  }

  get lost(): number {
    return this.#lost;
  }

  /**
   * Looks for what was acknowledged since the last look.
   *
   * @returns how many jobs went further than was acknowledged: the end came between the commit and the word of it
   */
  check(folder: string): number {
    const reader = openEvidence(folder);
    try {
      const first = reader.eventAt(1)?.hash;
      this.#first ??= first;
      if (this.#first !== first)
        throw new Error(`${folder} is no longer the same: another program cleared it`);
      for (const entry of this.#entries.slice(this.#checked)) {
        if (!isThere(reader, entry)) this.#lost += 1;
        this.#versions.set(entry.jobId, entry.version);
      }
      this.#checked = this.#entries.length;
      let further = 0;
      for (const { jobId } of reader.openJobs()) {
        const version = reader.versionOf(`job/${jobId}`);
        if (version > (this.#versions.get(jobId) ?? 0)) further += 1;
        this.#versions.set(jobId, version);
      }
      return further;
    } finally {
      reader.close();
    }
  }

  /** Looks for everything again, for what is there twice, and verifies the whole evidence. */
  close(folder: string): {
    readonly lost: number;
    readonly duplicated: number;
    readonly complaints: string[];
  } {
    this.#checked = 0;
    this.#lost = 0;
    this.check(folder);
    return { lost: this.#lost, duplicated: countTwice(folder), complaints: complaintsOf(folder) };
  }
}

function isThere(reader: EvidenceReader, { jobId, version, hash }: Acknowledged): boolean {
  const event = reader.readStream(`job/${jobId}`, version)[0];
  return event !== undefined && (hash === null || event.hash === hash);
}

/** Deeds that are in the evidence more often than once: a job of a serial, a capture of an attempt, a note. */
function countTwice(folder: string): number {
  const reader = openEvidence(folder);
  try {
    const seen = new Set<string>();
    let twice = 0;
    for (const event of reader.readStreams('job/')) {
      const deed = deedOf(event);
      if (seen.has(deed)) twice += 1;
      seen.add(deed);
    }
    return twice;
  } finally {
    reader.close();
  }
}

function deedOf({ stream, kind, body }: StoredEvent): string {
  if (kind === 'jobOpened') return `opened ${String(body.serial)}`;
  if (kind === 'noteWritten') return `${stream} ${String(body.text)}`;
  const capture = body.capture as { attempt?: number } | undefined;
  return [stream, kind, String(body.stepId ?? ''), String(capture?.attempt ?? '')].join(' ');
}

/** What a whole verification of a folder finds, in words; empty when it is intact. */
export function complaintsOf(folder: string): string[] {
  const complaints: string[] = [];
  const onProblem = ({ sentence }: { sentence: string }) => {
    if (complaints.length < 5) complaints.push(sentence);
  };
  const steps = verifyFolder({ folder, trustedKeys: [], replay: stationReplay, onProblem });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value.intact ? [] : complaints;
  }
}
