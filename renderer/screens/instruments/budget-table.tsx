import { useId, useState } from 'react';
import type { Budget } from '../../../shared/acceptance/budget.ts';
import { budgetOfIndication } from '../../../shared/calibration/metrology.ts';
import type { RegisteredInstrumentView } from '../../../shared/management-view.ts';
import { parseTypedNumber } from '../../../shared/quantity/typed-number.ts';
import type { Result } from '../../../shared/result.ts';
import { failureSentence } from '../../wording/refusal-sentence.ts';
import { unitName } from '../../wording/unit-name.ts';
import { roughText, type Wording } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

/** The uncertainty budget of an instrument at a reading that a person types: a table and a bar for each contribution. */
export function BudgetTable({ instrument }: { readonly instrument: RegisteredInstrumentView }) {
  const wording = useWording();
  const { say, decimalSign } = wording;
  const { metrology } = instrument.entry;
  const id = useId();
  const [typed, setTyped] = useState(() => usualReading(instrument).replace('.', decimalSign));
  const budget = budgetAt(instrument, typed, wording);
  return (
    <section data-testid="budget">
      <h3>{say('budget.title')}</h3>
      <div className="field is-short">
        <label htmlFor={id}>{say('budget.at')}</label>
        <div className="field-row">
          <input
            id={id}
            data-testid="budget-reading"
            inputMode="decimal"
            autoComplete="off"
            value={typed}
            onChange={(event) => setTyped(event.currentTarget.value)}
          />
          <span className="field-unit">{unitName(metrology.unit)}</span>
        </div>
      </div>
      {budget.ok ? (
        <BudgetLines budget={budget.value} />
      ) : (
        <p role="status">
          {say('budget.refused', {
            reason: failureSentence({ kind: 'refusal', refusal: budget.error }, wording),
          })}
        </p>
      )}
    </section>
  );
}

function budgetAt(
  { entry, certificates }: RegisteredInstrumentView,
  typed: string,
  { decimalSign }: Wording,
): Result<Budget> {
  const reading = parseTypedNumber(typed, decimalSign);
  if (!reading.ok) return reading;
  const { metrology, correctByCertificate } = entry;
  return budgetOfIndication({
    metrology,
    certificate: certificates.find((one) => one.inForce)?.certificate ?? null,
    indication: { text: reading.value.text, unit: metrology.unit },
    corrected: correctByCertificate,
    at: new Date().toISOString(),
    unit: metrology.unit,
  });
}

/** Some reading in the middle of what was calibrated. */
function usualReading({ entry, certificates }: RegisteredInstrumentView): string {
  const points = certificates.find((one) => one.inForce)?.certificate.asLeft ?? [];
  const middle = points[Math.floor(points.length / 2)]?.indication;
  return String(middle ?? (entry.metrology.ranges.at(-1)?.upTo ?? 1) / 2);
}

/** The contributions of a budget, each with its part in the whole. */
export function BudgetLines({ budget }: { readonly budget: Budget }) {
  const { say, decimal, quantity, percent } = useWording();
  const { contributions, unit, combined, expanded, k, degreesOfFreedom } = budget;
  return (
    <table className="figures budget">
      <thead>
        <tr>
          <th scope="col">{say('budget.contribution')}</th>
          <th scope="col">{say('budget.distribution')}</th>
          <th scope="col">{say('budget.standard', { unit: unitName(unit) })}</th>
          <th scope="col">{say('budget.sensitivity')}</th>
          <th scope="col">{say('budget.freedom')}</th>
          <th scope="col">{say('budget.share')}</th>
        </tr>
      </thead>
      <tbody>
        {contributions.map((line) => (
          <tr key={line.name}>
            <th scope="row">{say(`cause.${line.cause}`, { name: line.name })}</th>
            <td>{say(`budget.kind.${line.kind}`)}</td>
            <td>
              {decimal(roughText(line.u, 3))}
              {line.unit === unit ? '' : ` ${line.unit}`}
            </td>
            <td>{decimal(roughText(line.sensitivity, 3))}</td>
            <td>{line.degreesOfFreedom === null ? '∞' : decimal(String(line.degreesOfFreedom))}</td>
            <td>
              <span className="budget-share">
                <span className="budget-bar" aria-hidden="true">
                  <span style={{ width: `${line.share * 100}%` }} />
                </span>
                {line.share === 0 ? '0' : percent(line.share)}
              </span>
            </td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row" colSpan={2}>
            {say('budget.combined')}
          </th>
          <td colSpan={2}>{quantity(roughText(combined, 3), unit)}</td>
          <td>{degreesOfFreedom === null ? '∞' : decimal(String(Math.floor(degreesOfFreedom)))}</td>
          <td />
        </tr>
        <tr>
          <th scope="row" colSpan={2}>
            {say('budget.expanded', { k: decimal(k.toFixed(2)) })}
          </th>
          <td colSpan={4}>
            <strong>{quantity(roughText(expanded, 2), unit)}</strong>
          </td>
        </tr>
      </tfoot>
    </table>
  );
}
