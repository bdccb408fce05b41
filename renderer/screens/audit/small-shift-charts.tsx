import type { ProcessStudy } from '../../../shared/statistics/process-study.ts';
import { type ChartForm, smallShiftStudy } from '../../../shared/statistics/small-shift-study.ts';
import { ControlChart } from '../../parts/control-chart.tsx';
import { decimalsFor } from '../../parts/control-chart-scale.ts';
import { unitName } from '../../wording/unit-name.ts';
import { useWording } from '../../workbench.ts';

interface SmallShiftChartsProperties {
  readonly study: ProcessStudy;
  readonly form: Exclude<ChartForm, 'individuals'>;
}

/** Moving averages or cumulated sums: a small lasting shift shows in them sooner than in single readings. */
export function SmallShiftCharts({ study, form }: SmallShiftChartsProperties) {
  const wording = useWording();
  const { say } = wording;
  const small = smallShiftStudy(study);
  if (small === null) return <p>{say('audit.capability.noSpread')}</p>;
  const unit = unitName(study.unit);
  if (form === 'ewma') {
    const { values, limits, signals } = small.ewma;
    const decimals = decimalsFor(limits.lower, limits.upper);
    const print = (value: number) => wording.fixed(value, decimals);
    return (
      <>
        <ControlChart
          testId="ewma-chart"
          title={say('audit.chart.form.ewma')}
          unit={unit}
          points={values.map((value, index) => ({ value, mark: signals.includes(index) ? '!' : null }))}
          lines={[
            { kind: 'control', value: limits.upper, label: label('audit.chart.upperLimit', limits.upper) },
            { kind: 'centre', value: limits.centre, label: label('audit.chart.mean', limits.centre) },
            { kind: 'control', value: limits.lower, label: label('audit.chart.lowerLimit', limits.lower) },
          ]}
          description={say('audit.chart.description', {
            count: values.length,
            centre: print(limits.centre),
            lower: print(limits.lower),
            upper: print(limits.upper),
            unit,
            signals: signals.length,
          })}
        />
        <p className="quiet">{say('audit.chart.ewmaNote')}</p>
      </>
    );
    function label(
      key: 'audit.chart.upperLimit' | 'audit.chart.mean' | 'audit.chart.lowerLimit',
      value: number,
    ) {
      return `${say(key)} ${print(value)}`;
    }
  }
  const { high, low, limit, signals } = small.cusum;
  const decimals = decimalsFor(0, limit);
  return (
    <>
      {(
        [
          ['cusum-high', 'audit.chart.cusumHigh', high],
          ['cusum-low', 'audit.chart.cusumLow', low],
        ] as const
      ).map(([testId, title, sums]) => (
        <ControlChart
          key={testId}
          testId={`${testId}-chart`}
          title={say(title)}
          unit={unit}
          height={220}
          points={sums.map((value) => ({ value, mark: value > limit ? '!' : null }))}
          lines={[
            {
              kind: 'control',
              value: limit,
              label: `${say('audit.chart.upperLimit')} ${wording.fixed(limit, decimals)}`,
            },
          ]}
          description={say('audit.chart.cusumDescription', {
            title: say(title),
            limit: wording.fixed(limit, decimals),
            unit,
            signals: signals.filter((index) => (sums[index] ?? 0) > limit).length,
          })}
        />
      ))}
      <p className="quiet">{say('audit.chart.cusumNote')}</p>
    </>
  );
}
