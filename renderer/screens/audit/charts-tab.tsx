import { useEffect, useRef } from 'react';
import { ruleSets } from '../../../shared/audit/filter.ts';
import { chartForms } from '../../../shared/statistics/small-shift-study.ts';
import { chartKinds, chartLengths, chosenStation, stationsOf } from '../../state/audit-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { CheckCharts } from './check-charts.tsx';
import { FilterPanel, FilterSelect } from './filter-panel.tsx';
import { ProcessCharts } from './process-charts.tsx';
import { StationSelect } from './station-select.tsx';

/** Control charts and capability of fill and torque, and the checks of an instrument. */
export function ChartsTab() {
  const { screen } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const { chartKind, chartForm, chartLength, rules, chart, checks } = screen.audit;
  const bench = stationsOf(screen.audit).find(
    ({ stationId }) => stationId === chosenStation(screen.audit),
  )?.benchId;
  const isChecks = chartKind === 'checks';
  const picture = useRef<HTMLDivElement>(null);
  const drawn = useRef(chart ?? checks);
  // What was asked for with Enter comes into sight; not what was drawn before.
  useEffect(() => {
    const now = chart ?? checks;
    if (now !== null && now !== drawn.current) picture.current?.scrollIntoView({ block: 'start' });
    drawn.current = now;
  }, [chart, checks]);
  return (
    <>
      <FilterPanel
        without={
          isChecks
            ? [
                'serial',
                'headId',
                'personId',
                'lotId',
                'certificate',
                'decision',
                'quantity',
                'from',
                'until',
              ]
            : ['decision', 'quantity']
        }
      >
        <StationSelect />
        <FilterSelect
          name="chartKind"
          label={say('audit.chart.kind')}
          value={chartKind}
          empty={false}
          options={chartKinds.map((value) => ({ value, label: say(`audit.chart.kind.${value}`) }))}
          onChange={(value) =>
            hands.setAudit({ chartKind: chartKinds.find((kind) => kind === value) ?? 'mass' })
          }
        />
        {!isChecks && (
          <>
            <FilterSelect
              name="chartForm"
              label={say('audit.chart.form')}
              value={chartForm}
              empty={false}
              options={chartForms.map((value) => ({ value, label: say(`audit.chart.form.${value}`) }))}
              onChange={(value) =>
                hands.setAudit({ chartForm: chartForms.find((form) => form === value) ?? 'individuals' })
              }
            />
            <FilterSelect
              name="chartLength"
              label={say('audit.chart.length')}
              value={String(chartLength)}
              empty={false}
              options={chartLengths.map((count) => ({
                value: String(count),
                label: say('audit.chart.last', { count }),
              }))}
              onChange={(value) => hands.setAudit({ chartLength: Number(value) })}
            />
            <FilterSelect
              name="rules"
              label={say('audit.chart.rules')}
              value={rules}
              empty={false}
              options={ruleSets.map((value) => ({ value, label: value }))}
              onChange={(value) =>
                hands.setAudit({ rules: ruleSets.find((set) => set === value) ?? ruleSets[0] })
              }
            />
          </>
        )}
      </FilterPanel>
      {chart === null && checks === null && (
        <p className="quiet">{say(isChecks ? 'audit.chart.checksHint' : 'audit.chart.hint')}</p>
      )}
      <div ref={picture} className="chart-pictures">
        {!isChecks && chart !== null && <ProcessCharts chart={chart} form={chartForm} bench={bench} />}
        {isChecks && checks !== null && <CheckCharts checks={checks} bench={bench} />}
      </div>
    </>
  );
}
