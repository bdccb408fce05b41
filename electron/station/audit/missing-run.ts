import { nobody, type Owner } from './naming.ts';
import type { Verification } from './verification.ts';

/** Places in a row where no event stands, told together. */
export interface MissingRun {
  add(sequence: number): void;
  flush(): void;
}

/** More owners than this in one run are counted, not named. */
const named = 200;

export function createMissingRun({ naming, report, suspect, incomplete }: Verification): MissingRun {
  let first: number | undefined;
  let last = 0;
  const byOwner = new Map<string, { owner: Owner; sequences: number[] }>();

  function tell({ owner, sequences }: { owner: Owner; sequences: number[] }): void {
    if (owner.stream !== null) incomplete.add(owner.stream);
    report('removed', owner, sequences[0] ?? null, `${eventsOf(sequences)} removed`);
  }

  return {
    add(sequence) {
      first ??= sequence;
      last = sequence;
      if (suspect.size < 100_000) suspect.add(sequence);
      const owner = byOwner.size < named ? naming.ofSequence(sequence) : nobody;
      const key = owner.stream ?? '';
      const entry = byOwner.get(key) ?? { owner, sequences: [] };
      if (entry.sequences.length < 1000) entry.sequences.push(sequence);
      byOwner.set(key, entry);
    },
    flush() {
      if (first === undefined) return;
      const nameless = byOwner.get('');
      byOwner.delete('');
      for (const entry of byOwner.values()) tell(entry);
      if (nameless !== undefined) {
        const range =
          last - first + 1 > nameless.sequences.length ? `, among events ${first} to ${last}` : '';
        const lost = nameless.sequences;
        report(
          'removed',
          nobody,
          lost[0] ?? null,
          `${eventsOf(lost)} removed${range}; nothing is left that names the job`,
        );
      }
      byOwner.clear();
      first = undefined;
    },
  };
}

/** `event 4 was`, `events 4 and 7 were`, `events 4, 5 … 90 (87) were`. */
export function eventsOf(sequences: readonly number[]): string {
  const [first, second] = sequences;
  if (sequences.length === 1) return `event ${first} was`;
  if (sequences.length === 2) return `events ${first} and ${second} were`;
  return `events ${first}, ${second} … ${sequences.at(-1)} (${sequences.length}) were`;
}
