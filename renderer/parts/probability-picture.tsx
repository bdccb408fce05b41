import type { Limits } from '../../shared/acceptance/conformance.ts';
import { useWording } from '../workbench.ts';

interface ProbabilityPictureProperties {
  readonly value: number;
  /** Standard uncertainty u = U/k. */
  readonly standardUncertainty: number;
  readonly tolerance: Limits;
  readonly acceptance: Limits | null;
  readonly description: string;
  /** Printed at the axis. */
  readonly unit: string;
  /** Prints a value of the axis. */
  readonly print: (value: number) => string;
}

const width = 1000;
const height = 380;
const base = 290;
const peak = 40;

/**
 * Tolerance limits, acceptance limits, the indication and where the measurand may lie, in one picture. The area
 * that is filled is the conformance probability (JCGM 106:2012, 7).
 */
export function ProbabilityPicture(properties: ProbabilityPictureProperties) {
  const { value, standardUncertainty: u, tolerance, acceptance, description, unit, print } = properties;
  const { say } = useWording();
  const marks = [tolerance.lower, tolerance.upper, acceptance?.lower ?? null, acceptance?.upper ?? null];
  const known = marks.filter((mark) => mark !== null);
  const least = Math.min(value - 4 * u, ...known.map((mark) => mark - u));
  const most = Math.max(value + 4 * u, ...known.map((mark) => mark + u));
  const margin = (most - least) * 0.06;
  const x = (at: number) => ((at - least + margin) / (most - least + 2 * margin)) * width;
  const y = (at: number) => base - Math.exp(-((at - value) ** 2) / (2 * u * u)) * (base - peak);
  const from = Math.max(value - 4 * u, tolerance.lower ?? Number.NEGATIVE_INFINITY);
  const to = Math.min(value + 4 * u, tolerance.upper ?? Number.POSITIVE_INFINITY);
  return (
    <svg className="probability" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={description}>
      <defs>
        <pattern id="guard-hatch" width="12" height="12" patternUnits="userSpaceOnUse">
          <path d="M0 12L12 0" stroke="var(--line)" strokeWidth="2.5" />
        </pattern>
      </defs>
      <rect {...zone(x, tolerance, 250, 40)} fill="url(#guard-hatch)" stroke="none" />
      {acceptance !== null && <rect {...zone(x, acceptance, 250, 40)} className="probability-zone" />}
      {from < to && <path d={area(x, y, from, to)} className="probability-inside" />}
      <path d={curve(x, y, value - 4 * u, value + 4 * u)} className="probability-curve" />
      <line x1="0" x2={width} y1={base} y2={base} className="probability-axis" />
      {[tolerance.lower, tolerance.upper].map(
        (limit) =>
          limit !== null && (
            <g key={`tolerance ${limit}`}>
              <line x1={x(limit)} x2={x(limit)} y1={70} y2={base + 8} className="probability-limit" />
              <text x={x(limit)} y={base + 40} textAnchor="middle">
                {print(limit)}
              </text>
            </g>
          ),
      )}
      <line x1={x(value)} x2={x(value)} y1={peak - 14} y2={base + 8} className="probability-value" />
      <path d={`M${x(value) - 14} ${peak - 34}h28v10l-14 20-14-20z`} className="probability-plumb" />
      <text x={x(value)} y={base + 78} textAnchor="middle" className="probability-indication">
        {print(value)}
      </text>
      <text x={8} y={base + 78} textAnchor="start">
        {say('why.axis', { unit })}
      </text>
    </svg>
  );
}

function zone(x: (at: number) => number, limits: Limits, y: number, height: number) {
  const left = limits.lower === null ? 0 : x(limits.lower);
  const right = limits.upper === null ? width : x(limits.upper);
  return { x: left, y, width: Math.max(0, right - left), height };
}

function pointsBetween(from: number, to: number): readonly number[] {
  return Array.from({ length: 81 }, (_, index) => from + ((to - from) * index) / 80);
}

function curve(x: (at: number) => number, y: (at: number) => number, from: number, to: number): string {
  return `M${pointsBetween(from, to)
    .map((at) => `${x(at).toFixed(1)} ${y(at).toFixed(1)}`)
    .join('L')}`;
}

function area(x: (at: number) => number, y: (at: number) => number, from: number, to: number): string {
  return `${curve(x, y, from, to)}L${x(to).toFixed(1)} ${base}L${x(from).toFixed(1)} ${base}Z`;
}
