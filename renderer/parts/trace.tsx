import { useEffect, useRef } from 'react';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Limits } from '../../shared/acceptance/conformance.ts';
import { useSettings, useWording } from '../workbench.ts';
import { verticalRange } from './trace-range.ts';

export interface TraceSource {
  /** Seconds and values, in order. */
  points(): { readonly seconds: readonly number[]; readonly values: readonly number[] };
  /** Called when there is more to draw; returns how to stop. Absent for a course that is complete. */
  subscribe?(listener: () => void): () => void;
}

interface TraceProperties {
  readonly source: TraceSource;
  readonly tolerance: Limits;
  readonly acceptance: Limits | null;
  /** Width of the window in seconds; null shows the whole course. */
  readonly windowSeconds: number | null;
  readonly label: string;
}

function colour(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** The course of a value with its zones drawn in. The picture is for the eye; the numbers stand beside it. */
export function Trace({ source, tolerance, acceptance, windowSeconds, label }: TraceProperties) {
  const box = useRef<HTMLDivElement>(null);
  const { theme } = useSettings();
  const { decimal, language } = useWording();
  const { lower, upper } = tolerance;
  const acceptedLower = acceptance?.lower ?? null;
  const acceptedUpper = acceptance?.upper ?? null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: theme and language change the colours and texts read inside
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const ink = colour('--ink-soft');
    const grid = colour('--grid');
    const font = `18px ${getComputedStyle(element).fontFamily}`;
    const plot = new uPlot(
      {
        width: Math.max(50, element.clientWidth),
        height: Math.max(50, element.clientHeight),
        legend: { show: false },
        cursor: { show: false },
        padding: [8, 20, 0, 0],
        scales: {
          x: {
            time: false,
            // uPlot puts room around a single point; the newest value stands at the edge nevertheless.
            range: (_, least, most) =>
              horizontal(least, source.points().seconds.at(-1) ?? most, windowSeconds),
          },
          y: { range: (_, least, most) => verticalRange(least, most, { lower, upper }) },
        },
        axes: [
          {
            stroke: ink,
            font,
            size: 30,
            gap: 4,
            grid: { show: false },
            ticks: { stroke: grid, size: 4 },
            space: 70,
            ...(windowSeconds === null
              ? {}
              : {
                  splits: (_: uPlot, __: number, ___: number, last: number) =>
                    agesBefore(last, windowSeconds),
                }),
            values: (self, splits) => {
              const last = windowSeconds === null ? 0 : (self.scales.x?.max ?? 0);
              return splits.map((split) => `${decimal(String(Math.round((split - last) * 10) / 10))} s`);
            },
          },
          {
            stroke: ink,
            font,
            size: 58,
            gap: 6,
            grid: { stroke: grid, width: 1 },
            ticks: { show: false },
            space: 36,
            values: (_, splits) => splits.map((split) => decimal(String(Math.round(split * 1000) / 1000))),
          },
        ],
        series: [{}, { stroke: colour('--ink'), width: 3, points: { show: false } }],
        hooks: {
          draw: [(self) => drawSinglePoint(self, colour('--ink'))],
          drawClear: [
            (self) => {
              drawZone(self, lower, upper, colour('--zone-tolerance'));
              if (acceptance !== null) {
                drawZone(self, acceptedLower, acceptedUpper, colour('--zone-acceptance'));
              }
              drawLimit(self, lower, colour('--ink-soft'));
              drawLimit(self, upper, colour('--ink-soft'));
            },
          ],
        },
      },
      dataOf(source),
      element,
    );
    const stop = source.subscribe?.(() => plot.setData(dataOf(source)));
    const observer = new ResizeObserver(() => {
      plot.setSize({ width: Math.max(50, element.clientWidth), height: Math.max(50, element.clientHeight) });
    });
    observer.observe(element);
    return () => {
      stop?.();
      observer.disconnect();
      plot.destroy();
    };
  }, [source, lower, upper, acceptedLower, acceptedUpper, windowSeconds, theme, language, decimal]);
  return <div className="trace" ref={box} role="img" aria-label={label} data-testid="trace" />;
}

function dataOf(source: TraceSource): uPlot.AlignedData {
  const { seconds, values } = source.points();
  return [seconds as number[], values as number[]];
}

function horizontal(
  least: number | null,
  most: number | null,
  windowSeconds: number | null,
): [number, number] {
  const last = most ?? 0;
  if (windowSeconds !== null) return [last - windowSeconds, last];
  return [least ?? 0, last > (least ?? 0) ? last : (least ?? 0) + 1];
}

/** Round ages before the newest value, so that the labels stand still. */
function agesBefore(last: number, windowSeconds: number): number[] {
  const step = windowSeconds > 12 ? 10 : 2;
  return Array.from(
    { length: Math.floor(windowSeconds / step) },
    (_, index) => last - index * step,
  ).reverse();
}

function drawZone(plot: uPlot, lower: number | null, upper: number | null, fill: string): void {
  const { left, top, width, height } = plot.bbox;
  const from = upper === null ? top : Math.max(top, plot.valToPos(upper, 'y', true));
  const to = lower === null ? top + height : Math.min(top + height, plot.valToPos(lower, 'y', true));
  plot.ctx.fillStyle = fill;
  plot.ctx.fillRect(left, from, width, Math.max(0, to - from));
}

/** A wrench that tells its peak alone gives one point, and no line. */
function drawSinglePoint(plot: uPlot, fill: string): void {
  const [seconds, values] = plot.data;
  const [first, last] = [seconds[0], seconds.at(-1)];
  const value = values?.at(-1);
  if (first === undefined || last === undefined || last - first > 0.05 || value == null) return;
  const radius = 8 * devicePixelRatio;
  const { left, width } = plot.bbox;
  const across = Math.min(left + width - radius, plot.valToPos(last, 'x', true));
  plot.ctx.fillStyle = fill;
  plot.ctx.beginPath();
  plot.ctx.arc(across, plot.valToPos(value, 'y', true), radius, 0, 2 * Math.PI);
  plot.ctx.fill();
}

function drawLimit(plot: uPlot, limit: number | null, stroke: string): void {
  if (limit === null) return;
  const { left, width } = plot.bbox;
  const at = Math.round(plot.valToPos(limit, 'y', true));
  plot.ctx.save();
  plot.ctx.strokeStyle = stroke;
  plot.ctx.lineWidth = 2;
  plot.ctx.setLineDash([8, 6]);
  plot.ctx.beginPath();
  plot.ctx.moveTo(left, at);
  plot.ctx.lineTo(left + width, at);
  plot.ctx.stroke();
  plot.ctx.restore();
}
