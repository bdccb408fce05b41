import { chartWishSchema, ruleSets } from '../../../shared/audit/filter.ts';
import type { ChartView, CheckChartView } from '../../../shared/audit/view.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import type { Capability, CapabilityIndex } from '../../../shared/statistics/capability.ts';
import {
  type ChartForm,
  chartForms,
  type SmallShiftStudy,
  smallShiftStudy,
} from '../../../shared/statistics/small-shift-study.ts';
import { BadInput, badInput, type OptionValues } from './command.ts';
import { onEvidence, withEvidence } from './evidence-input.ts';
import { alsoAtSite } from './site-station.ts';

const filterOptions = {
  serial: 'serial',
  head: 'headId',
  person: 'personId',
  instrument: 'instrumentId',
  certificate: 'certificate',
  lot: 'lotId',
  from: 'from',
  until: 'until',
} as const;

const ruleNames = { 'western-electric': ruleSets[0], nelson: ruleSets[1] } as const;

/** The numbers of the charts on the audit screen. */
export const chartCommand = alsoAtSite({
  name: 'chart',
  summary: 'Control chart and capability of fill or torque, or the checks of an instrument',
  usage: '--quantity mass|torque [FILTER]… | --checks INSTRUMENT',
  help: `
Charts the newest captured readings: individuals and moving ranges with limits at three standard deviations, the run
rules that they break by name, Cp, Cpk (moving range) and Pp, Ppk (all readings) with 95 % intervals against the
tolerance. Of each step of a job the last reading counts; jobs that were abandoned or declared void do not. Where the
readings were judged by different bands, the deviation from each one's target is charted. Reads beside a running
station.

  --quantity mass|torque
  --head, --person, --instrument, --certificate NUMBER-OR-HASH, --lot, --serial   only these
  --from, --until    days (2026-03-02, the last one included) or instants (ISO 8601 with offset)
  --last N           the newest N readings, 2 to 500; default 100
  --rules western-electric|nelson   default western-electric
  --form individuals|ewma|cusum     ewma: moving averages with weight 0.2; cusum: sums with slack 0.5 s and limit 4 s
                                    (s by moving ranges): both show a small lasting shift. Default individuals
  --checks INSTRUMENT               instead: its checks with known masses or torques, by reference
  --json   {"quantity","rules","confidence","omitted","cut","points":[…],"study":{"basis","unit","values",
           "specification","chart","signals":[{"rule","index"}],"rangeSignals","within","overall","capability",
           "performance","risk"}}; with ewma or cusum "smallShift" too; values[i] belongs to points[i], oldest first. With --checks
           {"instrumentId","name","charts":[{"reference","checks":[…],"control"}]}

Exit: 0 done, 1 readings were altered and are left out, 2 bad input.
`,
  options: {
    ...Object.fromEntries(Object.keys(filterOptions).map((name) => [name, { type: 'string' as const }])),
    quantity: { type: 'string' },
    last: { type: 'string' },
    rules: { type: 'string' },
    form: { type: 'string' },
    checks: { type: 'string' },
  },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    if (positionals.length > 0) throw new BadInput(`chart: takes no "${positionals[0]}"; see --help`);
    const { openDatabaseToRead } = await import('../store/database.ts');
    const { readingRoomSources } = await import('../audit/reading-room-calls.ts');
    const database = await withEvidence(() => openDatabaseToRead(dataFolder));
    try {
      const { reader, names } = readingRoomSources(database, () => performance.now());
      if (typeof options.checks === 'string') {
        const { checkChart } = await import('../audit/check-chart.ts');
        const chart = checkChart(reader, options.checks, names());
        if (!chart.ok) throw badInput({ ...chart.error, field: '--checks' });
        await print(json ? JSON.stringify(chart.value) : printedChecks(chart.value));
        return 0;
      }
      const { processChart } = await import('../audit/process-chart.ts');
      const chart = processChart({ database, reader, nameOf: names() }, wishOf(options));
      if (!chart.ok) throw badInput({ ...chart.error, field: `--${chart.error.field}` });
      const form = formOf(options);
      const small = form === 'individuals' ? null : smallShiftStudy(chart.value.study);
      if (json) {
        const more = form === 'individuals' ? {} : { smallShift: small?.[form] ?? null };
        await print(JSON.stringify({ ...chart.value, ...more }));
      } else {
        const lines = form === 'individuals' ? [] : [printedSmallShift(chart.value, form, small)];
        await print([printedChart(chart.value), ...lines].join('\n'));
      }
      const { omitted } = chart.value;
      if (omitted > 0) say(`${omitted} readings were altered or removed and are left out; run verify`);
      return omitted > 0 ? 1 : 0;
    } finally {
      database.close();
    }
  }),
});

function wishOf(options: OptionValues) {
  const { rules = 'western-electric', last, quantity } = options;
  const set = Object.entries(ruleNames).find(([name]) => name === rules)?.[1];
  if (set === undefined) throw new BadInput(`--rules: "${rules}" is none; give western-electric or nelson`);
  if (quantity !== 'mass' && quantity !== 'torque')
    throw new BadInput('--quantity: give mass or torque (or --checks INSTRUMENT)');
  const filter = Object.fromEntries(
    Object.entries(filterOptions).flatMap(([name, field]) =>
      options[name] === undefined ? [] : [[field, options[name]]],
    ),
  );
  const wish = parseWith(chartWishSchema, {
    filter: { ...filter, quantity },
    rules: set,
    ...(last === undefined ? {} : { last: Number(last) }),
  });
  if (wish.ok) return wish.value;
  const field = wish.error.field.replace(/^filter\./, '');
  const option = Object.entries(filterOptions).find(([, own]) => own === field)?.[0] ?? field;
  throw badInput({ ...wish.error, field: `--${option}` });
}

function formOf({ form = 'individuals' }: OptionValues): ChartForm {
  const known = chartForms.find((one) => one === form);
  if (known === undefined) throw new BadInput(`--form: "${form}" is none; give ${chartForms.join(', ')}`);
  return known;
}

function printedSmallShift(
  { points, study }: ChartView,
  form: Exclude<ChartForm, 'individuals'>,
  small: SmallShiftStudy | null,
): string {
  if (small === null) return `${form}          the readings never change`;
  const number = (value: number | undefined) =>
    value === undefined ? '–' : String(Number(value.toPrecision(6)));
  const { ewma, cusum } = small;
  const [about, signals, at] =
    form === 'ewma'
      ? ([
          `limits ${number(ewma.limits.lower)} … ${number(ewma.limits.upper)}`,
          ewma.signals,
          (index: number) => number(ewma.values[index]),
        ] as const)
      : ([
          `limit ${number(cusum.limit)}`,
          cusum.signals,
          (index: number) => `above ${number(cusum.high[index])}, below ${number(cusum.low[index])}`,
        ] as const);
  return [
    `${form.padEnd(14)}${about}, ${signals.length === 0 ? 'no signal' : `${signals.length} signals`}`,
    ...signals.map(
      (index) => `  ${index + 1}  ${points[index]?.at}  ${points[index]?.serial}  ${at(index)} ${study.unit}`,
    ),
  ].join('\n');
}

function printedRisk({ risk }: ChartView['study']): string[] {
  if (risk === null) return [];
  const share = (value: number) => `${Number((100 * value).toPrecision(3))} %`;
  return [
    `risks         not conforming yet accepted ${share(risk.consumer)}, conforming yet rejected ${share(risk.producer)}`,
  ];
}

function printedChart({ study, points, rules, cut, quantity }: ChartView): string {
  const { unit, basis, values, chart, signals, rangeSignals, specification } = study;
  const number = (value: number | null) => (value === null ? '–' : String(Number(value.toPrecision(6))));
  const what = basis === 'value' ? quantity : `${quantity}, deviation from target`;
  if (chart === null) return `${what}: ${values.length} readings; a chart needs two`;
  const { individuals, movingRange } = chart;
  return [
    `${what} in ${unit}, ${values.length} readings${cut ? ', the newest' : ''}, ${points[0]?.at} … ${points.at(-1)?.at}`,
    `individuals   centre ${number(individuals.centre)}, limits ${number(individuals.lower)} … ${number(individuals.upper)}`,
    `moving range  centre ${number(movingRange.centre)}, limit ${number(movingRange.upper)}`,
    specification === null
      ? 'tolerance     differs from reading to reading'
      : `tolerance     ${number(specification.lower)} … ${number(specification.upper)}`,
    ...indexLines(study.capability, ['Cp', 'Cpk']),
    ...indexLines(study.performance, ['Pp', 'Ppk']),
    ...printedRisk(study),
    `run rules     ${rules}: ${signals.length === 0 ? 'none broken' : `${signals.length} signals`}`,
    ...signals.map(({ rule, index }) => signalLine(index, `${number(values[index] ?? null)} ${unit}`, rule)),
    ...rangeSignals.map((index) => signalLine(index + 1, '', 'moving range above its limit')),
  ].join('\n');

  function signalLine(index: number, value: string, rule: string): string {
    const point = points[index];
    return `  ${index + 1}  ${point?.at}  ${point?.serial}  ${value}  ${rule}`;
  }
}

function indexLines(capability: Capability | null, names: readonly [string, string]): string[] {
  if (capability === null) return [];
  const text = (name: string, index: CapabilityIndex | null) => {
    if (index === null) return `${name} needs both limits`;
    const { value, interval } = index;
    const range = interval === null ? '' : ` (${interval.lower.toFixed(3)} … ${interval.upper.toFixed(3)})`;
    return `${name} ${value.toFixed(3)}${range}`;
  };
  const [spread, worst] = names;
  return [`capability    ${text(spread, capability.spread)}, ${text(worst, capability.worst)}`];
}

function printedChecks({ name, instrumentId, charts }: CheckChartView): string {
  if (charts.length === 0) return `${name} (${instrumentId}): never checked`;
  return charts
    .flatMap(({ reference, checks, control }) => [
      `${name} (${instrumentId}) against ${reference.name}, ${reference.value} ${reference.unit}`,
      ...checks.map(
        ({ at, difference, limit, passed, person }) =>
          `  ${at}  ${Number(difference.toPrecision(6))} of ±${Number(limit.toPrecision(6))} ${reference.unit}  ${passed ? 'passed' : 'FAILED'}  ${person}`,
      ),
      ...(control === null
        ? []
        : [
            `  mean ${Number(control.centre.toPrecision(6))}, control limits ${Number(control.lower.toPrecision(6))} … ${Number(control.upper.toPrecision(6))} ${reference.unit}`,
          ]),
    ])
    .join('\n');
}
