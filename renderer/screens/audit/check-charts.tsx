import type { CheckChartView } from '../../../shared/audit/view.ts';
import { ControlChart } from '../../parts/control-chart.tsx';
import { type ChartLine, decimalsFor } from '../../parts/control-chart-scale.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { unitName } from '../../wording/unit-name.ts';
import { useWording } from '../../workbench.ts';
import { atBench } from './process-charts.tsx';

type Chart = CheckChartView['charts'][number];

/** The checks of an instrument against known masses or torques, one chart for each. */
export function CheckCharts({
  checks,
  bench,
}: {
  readonly checks: CheckChartView;
  readonly bench: string | undefined;
}) {
  const { say } = useWording();
  return (
    <section className="charts" data-testid="check-charts">
      <h2>{atBench(say('audit.checks.of', { name: checks.name }), bench)}</h2>
      {checks.charts.length === 0 && <p>{say('audit.checks.none')}</p>}
      {checks.charts.map((chart) => (
        <CheckChart key={`${chart.reference.name} ${chart.reference.value}`} chart={chart} />
      ))}
    </section>
  );
}

function CheckChart({ chart }: { readonly chart: Chart }) {
  const wording = useWording();
  const { say, moment, quantity } = wording;
  const { reference, checks, control } = chart;
  const unit = unitName(reference.unit);
  const limit = checks.at(-1)?.limit ?? 0;
  const all = [...checks.map(({ difference }) => difference), limit, -limit];
  const decimals = decimalsFor(Math.min(...all), Math.max(...all));
  const print = (value: number) => wording.fixed(value, decimals);
  const lines: readonly ChartLine[] = [
    { kind: 'tolerance', value: limit, label: `${say('audit.checks.limit')} ${print(limit)}` },
    { kind: 'tolerance', value: -limit, label: `${say('audit.checks.limit')} ${print(-limit)}` },
    ...(control === null
      ? [{ kind: 'centre', value: 0, label: print(0) } as const]
      : ([
          {
            kind: 'control',
            value: control.upper,
            label: `${say('audit.chart.upperLimit')} ${print(control.upper)}`,
          },
          {
            kind: 'centre',
            value: control.centre,
            label: `${say('audit.chart.mean')} ${print(control.centre)}`,
          },
          {
            kind: 'control',
            value: control.lower,
            label: `${say('audit.chart.lowerLimit')} ${print(control.lower)}`,
          },
        ] as const)),
  ];
  return (
    <div className="reference-chart">
      <h3>
        {say('audit.checks.against', {
          name: reference.name,
          quantity: quantity(String(reference.value), reference.unit),
        })}
      </h3>
      <ControlChart
        title={say('audit.checks.difference')}
        unit={unit}
        height={240}
        points={checks.map(({ difference, passed }) => ({ value: difference, mark: passed ? null : '×' }))}
        lines={lines}
        description={say('audit.checks.description', {
          count: checks.length,
          failed: checks.filter(({ passed }) => !passed).length,
          limit: print(limit),
          unit,
        })}
      />
      <details>
        <summary>{say('audit.checks.all', { count: checks.length })}</summary>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('audit.time')}</th>
              <th scope="col">{say('audit.indication')}</th>
              <th scope="col">{say('audit.checks.difference')}</th>
              <th scope="col">{say('audit.checks.limit')}</th>
              <th scope="col">{say('audit.decision')}</th>
              <th scope="col">{say('audit.person')}</th>
            </tr>
          </thead>
          <tbody>
            {checks.map((check) => (
              <tr key={check.at}>
                <td>{moment(check.at)}</td>
                <td className="figures">{quantity(String(check.indication.value), check.indication.unit)}</td>
                <td className="figures">{print(check.difference)}</td>
                <td className="figures">± {print(check.limit)}</td>
                <td className={check.passed ? 'is-pass with-icon' : 'is-fail with-icon'}>
                  <VerdictIcon verdict={check.passed ? 'pass' : 'fail'} />
                  {say(check.passed ? 'audit.checks.passed' : 'audit.checks.failed')}
                </td>
                <td>{check.person}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </div>
  );
}
