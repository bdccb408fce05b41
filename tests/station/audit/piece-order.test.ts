import { describe, expect, it } from 'vitest';
import { chanceOf } from '../../../electron/station/audit/invented-job.ts';
import { createPieceOrder } from '../../../electron/station/audit/piece-order.ts';
import type { Problem } from '../../../electron/station/audit/problem.ts';

const problemAt = (sequence: number) => ({ sequence }) as Problem;

/** What a thread tells of a piece: its findings in order, then that it is finished. */
const newsOf = (piece: number, count: number) => [
  ...Array.from({ length: count }, (_, index) => ({ piece, problem: problemAt(piece * 100 + index) })),
  { piece, problem: undefined },
];

describe('findings of several threads', () => {
  it('come in the order of the pieces, however the threads take turns', () => {
    for (let round = 0; round < 200; round++) {
      let salt = 0;
      const below = (limit: number) => Math.floor(chanceOf(round + 1, ++salt) * limit);
      const released: number[] = [];
      const order = createPieceOrder(({ sequence }) => released.push(sequence!));
      const pieces = Array.from({ length: 12 }, (_, piece) => newsOf(piece, below(4)));
      const expected = pieces.flat().flatMap(({ problem }) => (problem ? [problem.sequence!] : []));
      const waiting = [...pieces];
      const threads: (typeof pieces)[number][] = [[], [], []];
      for (;;) {
        for (const [index, news] of threads.entries())
          if (news.length === 0) threads[index] = waiting.shift() ?? [];
        const busy = threads.filter((news) => news.length > 0);
        const told = busy[below(busy.length)]?.shift();
        if (told === undefined) break;
        if (told.problem === undefined) order.finished(told.piece);
        else order.add(told.piece, told.problem);
        expect(released).toEqual(expected.slice(0, released.length));
      }
      expect(released).toEqual(expected);
      expect([order.next, order.finishedCount]).toEqual([12, 12]);
    }
  });

  it('are told at once while nothing before them is open, and never behind a piece that was not finished', () => {
    const released: number[] = [];
    const order = createPieceOrder(({ sequence }) => released.push(sequence!));
    order.add(null, problemAt(-1));
    order.add(0, problemAt(0));
    expect(released).toEqual([-1, 0]);
    order.add(2, problemAt(200));
    order.finished(2);
    order.add(1, problemAt(100));
    expect(released).toEqual([-1, 0]);
    order.finished(0);
    expect(released).toEqual([-1, 0, 100]);
    expect(order.next).toBe(1);
  });
});
