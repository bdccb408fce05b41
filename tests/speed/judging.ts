import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { type JudgementRequest, judge } from '../../shared/acceptance/judgement.ts';
import { guardedByUncertainty } from '../../shared/acceptance/rule.ts';
import { byTurns, type Row, rowOf } from './row.ts';

const count = 50_000;
const runs = 7;

/** Judgements per second against the least that a judgement with two tails needs in floating point. */
export function judgingRows(): Row[] {
  const band = { lower: 25.92, upper: 28.08, unit: 'N.m' } as const;
  const standard = 0.15;
  const request = (index: number): JudgementRequest => ({
    quantity: 'torque',
    reading: { text: (25 + (index % 400) / 100).toFixed(2), unit: 'N.m' },
    band: { target: 27, ...band },
    uncertainty: { expanded: 2 * standard, k: 2, unit: 'N.m' },
    rule: guardedByUncertainty,
  });
  const requests = Array.from({ length: 400 }, (_, index) => request(index));
  let passed = 0;
  const [ours, bare] = byTurns(
    runs,
    () =>
      perSecond(() => {
        for (let index = 0; index < count; index += 1) {
          const judged = judge(requests[index % 400]!);
          if (judged.ok && judged.value.decision === 'pass') passed += 1;
        }
      }),
    () =>
      perSecond(() => {
        for (let index = 0; index < count; index += 1) {
          const value = 25 + (index % 400) / 100;
          const conformance = normalCdf(band.upper, value, standard) - normalCdf(band.lower, value, standard);
          if (value >= band.lower + 0.3 && value <= band.upper - 0.3 && conformance > 0.5) passed += 1;
        }
      }),
  );
  if (passed === 0) throw new Error('nothing passed');
  const about = { name: 'judging, two tails', unit: 'judgements/s', kind: 'rate' } as const;
  return [
    rowOf(
      {
        ...about,
        baseline: 'two normal distribution functions and a comparison, in floating point',
        note: 'ours reads decimal text exactly, converts units, draws the guard band and checks every field besides; the bare one judges numbers in one unit.',
      },
      ours,
      bare,
    ),
  ];
}

function perSecond(work: () => void): number {
  const start = performance.now();
  work();
  return count / ((performance.now() - start) / 1000);
}
