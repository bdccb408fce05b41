import { type Finding, finding } from '../../../shared/audit/finding.ts';
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
    report('removed', owner, sequences[0] ?? null, removed(sequences));
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
        const lost = nameless.sequences;
        report('removed', nobody, lost[0] ?? null, removedNameless(lost, first, last));
      }
      byOwner.clear();
      first = undefined;
    },
  };
}

function removed(sequences: readonly number[]): Finding {
  const [event] = sequences;
  return sequences.length === 1 && event !== undefined
    ? finding('eventRemoved', { event })
    : finding('eventsRemoved', { events: placesOf(sequences) });
}

function removedNameless(sequences: readonly number[], first: number, last: number): Finding {
  const [event] = sequences;
  const isAmong = last - first + 1 > sequences.length;
  if (sequences.length === 1 && event !== undefined) {
    return isAmong
      ? finding('eventRemovedAmong', { event, first, last })
      : finding('eventRemovedNameless', { event });
  }
  const events = placesOf(sequences);
  return isAmong
    ? finding('eventsRemovedAmong', { events, first, last })
    : finding('eventsRemovedNameless', { events });
}

/** `4, 7`, or `4, 5 … 90 (87)`. */
function placesOf(sequences: readonly number[]): string {
  const [first, second] = sequences;
  if (sequences.length === 2) return `${first}, ${second}`;
  return `${first}, ${second} … ${sequences.at(-1)} (${sequences.length})`;
}
