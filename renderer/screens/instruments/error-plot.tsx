import type { CalibrationPoint } from '../../../shared/calibration/certificate.ts';
import type { InstrumentMetrology } from '../../../shared/calibration/metrology.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { unitName } from '../../wording/unit-name.ts';
import { roughText } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

const width = 560;
const height = 292;
const left = 76;
const bottom = 230;
const top = 36;

/** Error of each point with its expanded uncertainty; points stand at equal distances, in order. */
export function ErrorPlot({
  points,
  metrology,
  unit,
}: {
  readonly points: readonly CalibrationPoint[];
  readonly metrology: InstrumentMetrology;
  readonly unit: Unit;
}) {
  const { say, decimal } = useWording();
  const permissible = points.map(({ indication }) => permissibleAt(metrology, indication, unit));
  const most = Math.max(
    ...points.map(({ indication, reference, expanded }) => Math.abs(indication - reference) + expanded),
    ...permissible.map((value) => value ?? 0),
  );
  const x = (index: number) => left + ((index + 0.5) / points.length) * (width - left - 8);
  const y = (value: number) => (bottom + top) / 2 - (value / (most * 1.1)) * ((bottom - top) / 2);
  const limit = (sign: 1 | -1) =>
    permissible.some((value) => value === null)
      ? null
      : permissible.map((value, index) => `${x(index)} ${y(sign * (value ?? 0))}`).join('L');
  const ticks = [most, 0, -most];
  return (
    <svg
      className="error-plot"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={say('certificate.plot')}
    >
      {ticks.map((tick) => (
        <g key={tick}>
          <line
            x1={left}
            x2={width}
            y1={y(tick)}
            y2={y(tick)}
            className={tick === 0 ? 'plot-axis' : 'plot-grid'}
          />
          <text x={left - 8} y={y(tick) + 7} textAnchor="end">
            {tick === 0 ? '0' : decimal(roughText(tick, 2))}
          </text>
        </g>
      ))}
      <text x={width} y={height - 4} textAnchor="end">
        {unitName(unit)}
      </text>
      <text x={left - 8} y={18} textAnchor="end">
        {unitName(unit)}
      </text>
      {([1, -1] as const).map((sign) => {
        const line = limit(sign);
        return line === null ? null : <path key={sign} d={`M${line}`} className="plot-limit" />;
      })}
      {points.map(({ indication, reference, expanded }, index) => {
        const error = indication - reference;
        return (
          <g key={indication}>
            <path
              d={`M${x(index)} ${y(error - expanded)}V${y(error + expanded)}M${x(index) - 8} ${y(error - expanded)}h16M${x(index) - 8} ${y(error + expanded)}h16`}
              className="plot-bar"
            />
            <circle cx={x(index)} cy={y(error)} r="5" className="plot-point" />
            <text x={x(index)} y={bottom + 34} textAnchor="middle">
              {decimal(String(Number(indication.toPrecision(3))))}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** Maximum permissible error at an indication, in the unit of the certificate; null where the register has none. */
function permissibleAt(
  { maximumPermissibleError: error, unit: own }: InstrumentMetrology,
  indication: number,
  unit: Unit,
): number | null {
  if (error === undefined) return null;
  return error.kind === 'relative'
    ? error.fraction * Math.abs(indication)
    : convertNumber(error.value, own, unit);
}
