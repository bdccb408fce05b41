import { parseTypedNumber } from '../../../shared/quantity/typed-number.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { parseTypedDay } from '../../state/typed-day.ts';
import type { MessageKey } from '../../wording/english.ts';
import type { Wording } from '../../wording/wording.ts';

/** Columns of a calibration point as a person fills them; two of the first three are enough. */
export const pointFields = [
  { name: 'indication', key: 'certificate.indication' },
  { name: 'reference', key: 'certificate.referenceValue' },
  { name: 'error', key: 'certificate.error' },
  { name: 'expanded', key: 'certificate.expanded' },
  { name: 'k', key: 'certificate.k' },
] as const satisfies readonly { name: string; key: MessageKey }[];

/** One line of points as typed. */
export type PointLine = Readonly<Record<(typeof pointFields)[number]['name'], string>>;

/** Most certificates state their uncertainties with k = 2. */
export const emptyLine: PointLine = { indication: '', reference: '', error: '', expanded: '', k: '2' };

/** A certificate as typed. */
export interface CertificateForm {
  readonly number: string;
  readonly provider: string;
  readonly reference: string;
  readonly date: string;
  readonly due: string;
  readonly unit: Unit;
  readonly asLeft: readonly PointLine[];
  /** Null where nothing was adjusted. */
  readonly asFound: readonly PointLine[] | null;
}

/** What was typed as the data of a certificate; refuses an empty text or a number that is none, named as on the screen. */
export function certificateOfForm(form: CertificateForm, wording: Wording): Result<unknown> {
  const { say } = wording;
  for (const name of ['number', 'provider', 'reference', 'date', 'due'] as const) {
    if (form[name].trim() === '') return refuse('missing', say(`certificate.${name}`), '');
  }
  const asLeft = pointsOf(form.asLeft, say('certificate.asLeft'), wording);
  if (!asLeft.ok) return asLeft;
  const asFound = form.asFound === null ? null : pointsOf(form.asFound, say('certificate.asFound'), wording);
  if (asFound?.ok === false) return asFound;
  const { number, provider, reference, unit } = form;
  const day = (typed: string) => parseTypedDay(typed, wording.language) ?? typed;
  return ok({
    number: number.trim(),
    provider: provider.trim(),
    reference: reference.trim(),
    date: day(form.date),
    due: day(form.due),
    unit,
    asLeft: asLeft.value,
    ...(asFound === null ? {} : { asFound: asFound.value }),
  });
}

function pointsOf(
  lines: readonly PointLine[],
  list: string,
  { say, decimalSign }: Wording,
): Result<readonly Record<string, number>[]> {
  const points: Record<string, number>[] = [];
  for (const [index, line] of lines.entries()) {
    if (pointFields.every(({ name }) => name === 'k' || line[name].trim() === '')) continue;
    const point: Record<string, number> = {};
    for (const { name, key } of pointFields) {
      if (line[name].trim() === '') continue;
      const number = parseTypedNumber(line[name], decimalSign);
      if (!number.ok) {
        const field = say('certificate.line', { list, number: index + 1, field: say(key) });
        return refuse('not_finite', field, number.error.message);
      }
      point[name] = Number(number.value.text);
    }
    points.push(point);
  }
  return points.length === 0 ? refuse('missing', list, '') : ok(points);
}
