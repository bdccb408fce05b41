import type { ChartView } from '../../../shared/audit/view.ts';
import type { Capability, CapabilityIndex } from '../../../shared/statistics/capability.ts';
import type { ChartForm } from '../../../shared/statistics/small-shift-study.ts';
import { ControlChart } from '../../parts/control-chart.tsx';
import { type ChartLine, decimalsFor } from '../../parts/control-chart-scale.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { ruleWords } from '../../wording/run-rule-words.ts';
import { unitName } from '../../wording/unit-name.ts';
import type { Wording } from '../../wording/wording.ts';
import { useWording, useWorkbench } from '../../workbench.ts';
import { RiskSentence } from './risk-sentence.tsx';
import { showSerial } from './show-serial.ts';
import { SmallShiftCharts } from './small-shift-charts.tsx';

/** Readings that a chart needs before its limits mean much. Common practice, no source. */
const enoughReadings = 25;

/** The charts of fill or torque, what breaks a rule by name, and the capability with its intervals. */
export function ProcessCharts({
  chart,
  form,
  bench,
}: {
  readonly chart: ChartView;
  readonly form: ChartForm;
  /** At the desk of a site: whose. */
  readonly bench: string | undefined;
}) {
  const wording = useWording();
  const { say } = wording;
  const { study, points, quantity, omitted } = chart;
  const unit = unitName(study.unit);
  const { chart: limits } = study;
  if (limits === null) {
    return <p data-testid="chart-empty">{say('audit.chart.tooFew', { count: points.length })}</p>;
  }
  const rules = [...new Set(study.signals.map(({ rule }) => rule))];
  const marksAt = (index: number) => {
    const own = study.signals
      .filter((signal) => signal.index === index)
      .map(({ rule }) => rules.indexOf(rule) + 1);
    return own.length === 0 ? null : own.join(' ');
  };
  const decimals = decimalsFor(limits.individuals.lower, limits.individuals.upper);
  const print = (value: number) => wording.fixed(value, decimals);
  const what = say(
    study.basis === 'value' ? `audit.chart.of.${quantity}` : `audit.chart.deviation.${quantity}`,
  );
  return (
    <section className="charts" data-testid="process-chart">
      <h2>{atBench(what, bench)}</h2>
      <p className="quiet">
        {say('audit.chart.which', {
          count: points.length,
          from: wording.moment(points[0]?.at ?? ''),
          until: wording.moment(points.at(-1)?.at ?? ''),
        })}
      </p>
      {study.basis === 'deviation' && <p>{say('audit.chart.deviationNote')}</p>}
      {points.length < enoughReadings && (
        <p className="is-conditional with-icon">
          <VerdictIcon verdict="conditional pass" />
          {say('audit.chart.provisional', { count: enoughReadings })}
        </p>
      )}
      {omitted > 0 && (
        <p className="is-fail with-icon">
          <VerdictIcon verdict="fail" />
          {say('audit.chart.omitted', { count: omitted })}
        </p>
      )}
      {form === 'individuals' ? (
        <IndividualCharts chart={chart} marksAt={marksAt} />
      ) : (
        <SmallShiftCharts study={study} form={form} />
      )}
      {form === 'individuals' && <Signals chart={chart} rules={rules} print={print} unit={unit} />}
      <CapabilityTable chart={chart} wording={wording} />
      <RiskSentence study={study} />
      <PointTable chart={chart} print={print} unit={unit} marksAt={marksAt} />
    </section>
  );
}

/** A heading, at the desk of a site with its bench. */
export function atBench(heading: string, bench: string | undefined): string {
  return bench === undefined ? heading : `${heading}: ${bench}`;
}

/** Readings one by one, and the changes from one to the next. */
function IndividualCharts({
  chart,
  marksAt,
}: {
  readonly chart: ChartView;
  marksAt(index: number): string | null;
}) {
  const wording = useWording();
  const { say } = wording;
  const { study, points } = chart;
  const { chart: limits } = study;
  if (limits === null) return null;
  const unit = unitName(study.unit);
  const decimals = decimalsFor(limits.individuals.lower, limits.individuals.upper);
  const print = (value: number) => wording.fixed(value, decimals);
  return (
    <>
      <ControlChart
        testId="individuals-chart"
        title={say('audit.chart.individuals')}
        unit={unit}
        points={study.values.map((value, index) => ({ value, mark: marksAt(index) }))}
        lines={individualLines(chart, wording, print)}
        description={say('audit.chart.description', {
          count: points.length,
          centre: print(limits.individuals.centre),
          lower: print(limits.individuals.lower),
          upper: print(limits.individuals.upper),
          unit,
          signals: study.signals.length,
        })}
      />
      <ControlChart
        testId="range-chart"
        title={say('audit.chart.movingRange')}
        unit={unit}
        first={2}
        height={200}
        points={limits.movingRanges.map((value, index) => ({
          value,
          mark: study.rangeSignals.includes(index) ? 'R' : null,
        }))}
        lines={[
          line('control', limits.movingRange.upper, say('audit.chart.upperLimit'), print),
          line('centre', limits.movingRange.centre, say('audit.chart.mean'), print),
        ]}
        description={say('audit.chart.rangeDescription', {
          mean: print(limits.movingRange.centre),
          upper: print(limits.movingRange.upper),
          unit,
          signals: study.rangeSignals.length,
        })}
      />
    </>
  );
}

type Print = (value: number) => string;

function line(kind: ChartLine['kind'], value: number, label: string, print: Print): ChartLine {
  return { kind, value, label: `${label} ${print(value)}` };
}

function individualLines({ study }: ChartView, { say }: Wording, print: Print): readonly ChartLine[] {
  const { chart, specification } = study;
  if (chart === null) return [];
  const { centre, lower, upper } = chart.individuals;
  return [
    line('control', upper, say('audit.chart.upperLimit'), print),
    line('centre', centre, say('audit.chart.mean'), print),
    line('control', lower, say('audit.chart.lowerLimit'), print),
    ...(specification?.upper == null
      ? []
      : [line('tolerance', specification.upper, say('audit.chart.upperTolerance'), print)]),
    ...(specification?.lower == null
      ? []
      : [line('tolerance', specification.lower, say('audit.chart.lowerTolerance'), print)]),
  ];
}

interface SignalsProperties {
  readonly chart: ChartView;
  readonly rules: readonly string[];
  readonly print: Print;
  readonly unit: string;
}

function Signals({ chart, rules }: SignalsProperties) {
  const wording = useWording();
  const { say } = wording;
  const { study } = chart;
  return (
    <div className="signals" data-testid="signals">
      <h3>{say('audit.chart.signals', { rules: chart.rules })}</h3>
      {rules.length === 0 && study.rangeSignals.length === 0 && (
        <p className="is-pass with-icon">
          <VerdictIcon verdict="pass" /> {say('audit.chart.noSignal')}
        </p>
      )}
      <ul>
        {rules.map((rule, index) => (
          <li key={rule}>
            <strong className="signal-mark">{index + 1}</strong> {ruleWords(rule, wording)}{' '}
            <span className="quiet">
              {say('audit.chart.at', {
                numbers: study.signals
                  .filter((signal) => signal.rule === rule)
                  .map((signal) => signal.index + 1)
                  .join(', '),
              })}
            </span>
          </li>
        ))}
        {study.rangeSignals.length > 0 && (
          <li>
            <strong className="signal-mark">R</strong> {say('audit.chart.rangeSignal')}{' '}
            <span className="quiet">
              {say('audit.chart.at', { numbers: study.rangeSignals.map((index) => index + 2).join(', ') })}
            </span>
          </li>
        )}
      </ul>
    </div>
  );
}

function CapabilityTable({ chart, wording }: { readonly chart: ChartView; readonly wording: Wording }) {
  const { say, fixed } = wording;
  const { study } = chart;
  const { capability, performance, within, overall } = study;
  if (capability === null || performance === null || within === null || overall === null) {
    return (
      <p data-testid="no-capability">
        {say(study.specification === null ? 'audit.capability.noBand' : 'audit.capability.noSpread')}
      </p>
    );
  }
  const unit = unitName(study.unit);
  const spreadText = (value: number) => `${wording.decimal(String(Number(value.toPrecision(4))))} ${unit}`;
  const rows: readonly (readonly [string, CapabilityIndex | null, Capability])[] = [
    ['Cp', capability.spread, capability],
    ['Cpk', capability.worst, capability],
    ['Pp', performance.spread, performance],
    ['Ppk', performance.worst, performance],
  ];
  return (
    <div className="capability" data-testid="capability">
      <h3>{say('audit.capability.title')}</h3>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('audit.capability.index')}</th>
            <th scope="col">{say('audit.capability.value')}</th>
            <th scope="col">{say('audit.capability.interval')}</th>
            <th scope="col">{say('audit.capability.meaning')}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, index]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td className="figures">{index === null ? '–' : fixed(index.value, 2)}</td>
              <td className="figures">
                {index?.interval == null
                  ? '–'
                  : `${fixed(index.interval.lower, 2)} … ${fixed(index.interval.upper, 2)}`}
              </td>
              <td>{say(name.endsWith('k') ? 'audit.capability.worst' : 'audit.capability.spread')}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="quiet">
        {say('audit.capability.spreads', {
          within: spreadText(within.standardDeviation),
          overall: spreadText(overall.standardDeviation),
        })}
      </p>
    </div>
  );
}

function PointTable({
  chart,
  print,
  unit,
  marksAt,
}: Omit<SignalsProperties, 'rules'> & { marksAt(index: number): string | null }) {
  const { say, moment } = useWording();
  const { hands } = useWorkbench();
  const { points, study } = chart;
  return (
    <details className="chart-points">
      <summary>{say('audit.chart.points', { count: points.length })}</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
      <div className="scroll-box" tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">#</th>
              <th scope="col">{unit}</th>
              <th scope="col">{say('audit.filter.serial')}</th>
              <th scope="col">{say('audit.time')}</th>
              <th scope="col">{say('audit.person')}</th>
              <th scope="col">{say('audit.decision')}</th>
              <th scope="col">{say('audit.chart.rule')}</th>
            </tr>
          </thead>
          <tbody>
            {points.map((point, index) => (
              <tr key={point.sequence}>
                <td>{index + 1}</td>
                <td className="figures">{print(study.values[index] ?? 0)}</td>
                <td>
                  <button type="button" className="link" onClick={() => void showSerial(hands, point.serial)}>
                    {point.serial}
                  </button>
                </td>
                <td>{moment(point.at)}</td>
                <td>{point.person}</td>
                <td className={`is-${point.decision.replace(' ', '-')}`}>
                  {say(`verdict.${point.decision}`)}
                </td>
                <td>{marksAt(index) ?? ''}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
