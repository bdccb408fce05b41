import type { Problem } from './problem.ts';

/** Puts findings of threads that work on different pieces into the order of the pieces. */
export interface PieceOrder {
  /** @param piece null: found before the first piece */
  add(piece: number | null, problem: Problem): void;
  finished(piece: number): void;
  /** The first piece that is not finished. */
  readonly next: number;
  readonly finishedCount: number;
}

/** `release` gets each finding as soon as all pieces before its own are finished. */
export function createPieceOrder(release: (problem: Problem) => void): PieceOrder {
  const held = new Map<number, Problem[]>();
  const done = new Set<number>();
  let next = 0;
  let finishedCount = 0;
  return {
    add(piece, problem) {
      if (piece === null || piece === next) return release(problem);
      const others = held.get(piece);
      if (others === undefined) held.set(piece, [problem]);
      else others.push(problem);
    },
    finished(piece) {
      finishedCount++;
      done.add(piece);
      while (done.delete(next)) {
        next++;
        held.get(next)?.forEach(release);
        held.delete(next);
      }
    },
    get next() {
      return next;
    },
    get finishedCount() {
      return finishedCount;
    },
  };
}
