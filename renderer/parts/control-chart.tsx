import { useEffect, useRef, useState } from 'react';
import { useWording } from '../workbench.ts';
import { type ChartLine, decimalsFor, rangeOf, spread, ticksBetween } from './control-chart-scale.ts';

export interface ChartPoint {
  readonly value: number;
  /** Breaks a rule, or failed: drawn as a square with this mark beside it. */
  readonly mark: string | null;
}

interface ControlChartProperties {
  readonly title: string;
  /** As people print it. */
  readonly unit: string;
  readonly points: readonly ChartPoint[];
  readonly lines: readonly ChartLine[];
  /** What the chart shows, for those who do not see it; the numbers stand in a table beside it. */
  readonly description: string;
  /** Number of the first point. Default 1. */
  readonly first?: number;
  readonly height?: number;
  readonly testId?: string;
}

const left = 76;
const top = 14;
const bottom = 30;
const letterWidth = 8.6;

/** Readings one by one with centre line and limits. A picture of our own, so that every mark has a shape and a word. */
export function ControlChart(properties: ControlChartProperties) {
  const { title, unit, points, lines, description, first = 1, height = 300, testId } = properties;
  const { decimal } = useWording();
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(element.clientWidth));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const right = 20 + Math.max(0, ...lines.map(({ label }) => label.length)) * letterWidth;
  const plotWidth = Math.max(40, width - left - right);
  const plotHeight = height - top - bottom;
  const { lower, upper } = rangeOf([...points.map(({ value }) => value), ...lines.map(({ value }) => value)]);
  const decimals = decimalsFor(lower, upper);
  const x = (index: number) => left + ((index + 0.5) / points.length) * plotWidth;
  const y = (value: number) => top + ((upper - value) / (upper - lower)) * plotHeight;
  const labelPlaces = spread(
    lines.map(({ value }) => y(value) - top),
    19,
    plotHeight,
  );
  const radius = points.length > 200 ? 2 : points.length > 80 ? 3 : 4;
  return (
    <figure className="control-chart" data-testid={testId}>
      <figcaption>
        {title} ({unit})
      </figcaption>
      <div ref={box}>
        {width > 0 && (
          <svg width={width} height={height} role="img" aria-label={description}>
            {ticksBetween(lower, upper, 5).map((tick) => (
              <g key={tick}>
                <line className="chart-grid" x1={left} x2={left + plotWidth} y1={y(tick)} y2={y(tick)} />
                <text className="chart-tick" x={left - 8} y={y(tick)} dy="0.35em" textAnchor="end">
                  {decimal(tick.toFixed(Math.max(0, decimals - 1)))}
                </text>
              </g>
            ))}
            {ticksBetween(first, first + points.length - 1, plotWidth / 90)
              .filter((tick) => Number.isInteger(tick))
              .map((tick) => (
                <text
                  key={tick}
                  className="chart-tick"
                  x={x(tick - first)}
                  y={height - 8}
                  textAnchor="middle"
                >
                  {tick}
                </text>
              ))}
            {lines.map(({ value, label, kind }, index) => {
              const place = top + (labelPlaces[index] ?? 0);
              return (
                <g key={label}>
                  <line
                    className={`chart-line is-${kind}`}
                    x1={left}
                    x2={left + plotWidth}
                    y1={y(value)}
                    y2={y(value)}
                  />
                  <path
                    className="chart-lead"
                    d={`M${left + plotWidth} ${y(value)}L${left + plotWidth + 12} ${place}`}
                  />
                  <text className={`chart-label is-${kind}`} x={left + plotWidth + 16} y={place} dy="0.35em">
                    {label}
                  </text>
                </g>
              );
            })}
            <polyline
              className="chart-course"
              points={points.map(({ value }, index) => `${x(index)},${y(value)}`).join(' ')}
            />
            {points.map(({ value, mark }, index) =>
              mark === null ? (
                // biome-ignore lint/suspicious/noArrayIndexKey: points have no name but their place
                <circle key={index} className="chart-point" cx={x(index)} cy={y(value)} r={radius} />
              ) : (
                // biome-ignore lint/suspicious/noArrayIndexKey: the same
                <g key={index} className="chart-signal">
                  <rect x={x(index) - 7} y={y(value) - 7} width={14} height={14} />
                  <text
                    x={x(index)}
                    y={y(value) < top + 26 ? y(value) + 24 : y(value) - 12}
                    textAnchor="middle"
                  >
                    {mark}
                  </text>
                </g>
              ),
            )}
          </svg>
        )}
      </div>
    </figure>
  );
}
