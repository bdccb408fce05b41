import type { CheckChartView } from '../../../shared/audit/view.ts';
import { judgeDailyCheck } from '../../../shared/calibration/daily-check.ts';
import { type InstrumentCheck, instrumentEventSchema } from '../../../shared/instrument/instrument.ts';
import { convertNumber } from '../../../shared/quantity/conversion.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { individualsChart } from '../../../shared/statistics/control-chart.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { NamesOfPeople } from './people-names.ts';

/** The newest checks with one reference that a chart shows. */
const mostShown = 500;

/** Checks of an instrument with known masses or torques, by reference. Refuses an instrument that was never here. */
export function checkChart(
  reader: Pick<EvidenceReader, 'readStream'>,
  instrumentId: string,
  nameOf: NamesOfPeople,
): Result<CheckChartView> {
  const events = reader
    .readStream(`instrument/${instrumentId}`)
    .map(({ body }) => instrumentEventSchema.parse(body));
  if (events.length === 0) {
    return refuse(
      'instrument_unknown',
      'instrumentId',
      `No instrument is registered as "${instrumentId}"; give its short name in the register.`,
    );
  }
  const names = events.flatMap((event) => (event.kind === 'instrumentRegistered' ? [event.entry.name] : []));
  const checks = events.filter((event) => event.kind === 'checkPassed' || event.kind === 'checkFailed');
  const byReference = Map.groupBy(
    checks,
    ({ reference }) => `${reference.value} ${reference.unit} ${reference.name}`,
  );
  return ok({
    instrumentId,
    name: names.at(-1) ?? instrumentId,
    charts: [...byReference.values()].map((group) => chartOf(group.slice(-mostShown), nameOf)),
  });
}

type Chart = CheckChartView['charts'][number];

function chartOf(group: readonly InstrumentCheck[], nameOf: NamesOfPeople): Chart {
  const checks = group.flatMap((check) => checkOf(check, nameOf));
  const differences = checks.map(({ difference }) => difference);
  const { name = '', value = 0, unit = 'g' } = group[0]?.reference ?? {};
  return {
    reference: { name, value, unit },
    checks,
    control: differences.length < 2 ? null : individualsChart(differences).individuals,
  };
}

function checkOf(check: InstrumentCheck, nameOf: NamesOfPeople): Chart['checks'] {
  const { reference, indication, limit, at, personId, kind } = check;
  const judged = judgeDailyCheck({ reference, indication, limit });
  if (!judged.ok) return [];
  return [
    {
      at,
      person: nameOf(personId),
      passed: kind === 'checkPassed',
      difference: judged.value.difference.value,
      limit: convertNumber(limit.value, limit.unit, reference.unit),
      indication,
    },
  ];
}
