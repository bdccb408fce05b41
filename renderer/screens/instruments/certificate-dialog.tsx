import { useState } from 'react';
import type { z } from 'zod';
import type { certificateSchema } from '../../../shared/calibration/certificate.ts';
import { massUnits, torqueUnits, type Unit } from '../../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { manage } from '../../actions/manage.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { PageDialog } from '../../parts/page-dialog.tsx';
import type { CallFailure } from '../../station-client.ts';
import { failureSentence } from '../../wording/refusal-sentence.ts';
import { unitName } from '../../wording/unit-name.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import {
  type CertificateForm,
  certificateOfForm,
  emptyLine,
  type PointLine,
  pointFields,
} from './certificate-form.ts';

type CertificateInput = z.input<typeof certificateSchema>;
type ListName = 'asLeft' | 'asFound';

const lineCount = 6;
const freshLines = () => Array.from({ length: lineCount }, () => emptyLine);

/** Enters a calibration certificate: a form, or JSON pasted; a bad field is named. */
export function CertificateDialog({ instrumentId }: { readonly instrumentId: string }) {
  const { hands } = useWorkbench();
  const { screen } = useSituation();
  const wording = useWording();
  const { say } = wording;
  const instrument = screen.desk.register?.find((one) => one.instrumentId === instrumentId);
  const entry = instrument?.entry;
  const [isJson, setIsJson] = useState(false);
  const [json, setJson] = useState('');
  const [form, setForm] = useState<CertificateForm>(() => ({
    number: '',
    provider: '',
    reference: '',
    date: '',
    due: '',
    unit: entry?.metrology.unit ?? 'g',
    asLeft: freshLines(),
    asFound: null,
  }));
  const [failure, setFailure] = useState<CallFailure | null>(null);
  const [busy, setBusy] = useState(false);
  if (entry === undefined) return null;

  const change = (part: Partial<CertificateForm>) => {
    setFailure(null);
    setForm((before) => ({ ...before, ...part }));
  };
  const submit = async () => {
    const read = isJson ? readJson(json) : certificateOfForm(form, wording);
    if (!read.ok) return setFailure({ kind: 'refusal', refusal: read.error });
    setBusy(true);
    const failed = await manage(
      hands,
      { kind: 'addCertificate', instrumentId, certificate: read.value as CertificateInput },
      { key: 'certificate.added', parameters: { number: numberOf(read.value) } },
    );
    setBusy(false);
    if (failed === null) hands.set({ dialog: null });
    else setFailure(failed);
  };
  const text = (name: 'number' | 'provider' | 'reference' | 'date' | 'due', isDay = false) => (
    <div className="field">
      <label htmlFor={`certificate-${name}`}>
        {isDay ? say('field.dayFormat', { label: say(`certificate.${name}`) }) : say(`certificate.${name}`)}
      </label>
      <input
        id={`certificate-${name}`}
        data-testid={`certificate-${name}`}
        {...(name === 'number' ? { 'data-first': '' } : {})}
        autoComplete="off"
        maxLength={300}
        value={form[name]}
        onChange={(event) => change({ [name]: event.currentTarget.value })}
      />
    </div>
  );
  const units: readonly Unit[] = entry.metrology.quantity === 'mass' ? massUnits : torqueUnits;
  return (
    <PageDialog title={say('certificate.title', { name: entry.name })} wide>
      <form
        className="question certificate-form"
        onSubmit={(event) => {
          event.preventDefault();
          if (!busy) void submit();
        }}
      >
        <div className="question-body">
          {isJson ? (
            <div className="field">
              <label htmlFor="certificate-json">{say('certificate.json')}</label>
              <textarea
                id="certificate-json"
                data-testid="certificate-json"
                rows={12}
                spellCheck={false}
                aria-describedby="certificate-json-hint"
                value={json}
                onChange={(event) => {
                  setFailure(null);
                  setJson(event.currentTarget.value);
                }}
              />
              <p id="certificate-json-hint" className="field-hint">
                {say('certificate.jsonHint')}
              </p>
            </div>
          ) : (
            <>
              <div className="question-fields">
                {text('number')}
                {text('provider')}
                {text('reference')}
                {text('date', true)}
                {text('due', true)}
                <div className="field">
                  <label htmlFor="certificate-unit">{say('field.unit')}</label>
                  <select
                    id="certificate-unit"
                    data-testid="certificate-unit"
                    value={form.unit}
                    onChange={(event) => change({ unit: event.currentTarget.value as Unit })}
                  >
                    {units.map((unit) => (
                      <option key={unit} value={unit}>
                        {unitName(unit)}
                      </option>
                    ))}
                  </select>
                </div>
              </div>
              <p>{say('certificate.points', { unit: unitName(form.unit) })}</p>
              <PointLines list="asLeft" lines={form.asLeft} onChange={(asLeft) => change({ asLeft })} />
              <label className="check-line">
                <input
                  type="checkbox"
                  data-testid="certificate-adjusted"
                  checked={form.asFound !== null}
                  onChange={(event) => change({ asFound: event.currentTarget.checked ? freshLines() : null })}
                />
                <span>{say('certificate.adjusted')}</span>
              </label>
              {form.asFound !== null && (
                <PointLines list="asFound" lines={form.asFound} onChange={(asFound) => change({ asFound })} />
              )}
            </>
          )}
        </div>
        <footer className="question-foot">
          <button type="submit" className="action is-main" disabled={busy} data-testid="certificate-confirm">
            <kbd className="key">Enter ↵</kbd>
            <span className="action-label">{say('action.addCertificate')}</span>
          </button>
          <button
            type="button"
            className="action"
            data-testid="certificate-as-json"
            onClick={() => {
              setFailure(null);
              setIsJson(!isJson);
            }}
          >
            <span className="action-label">{say(isJson ? 'certificate.asForm' : 'certificate.asJson')}</span>
          </button>
          <p className="question-failure" role="alert">
            {failure !== null && (
              <>
                <VerdictIcon verdict="conditional fail" />
                <span>{failureSentence(failure, wording)}</span>
              </>
            )}
          </p>
        </footer>
      </form>
    </PageDialog>
  );
}

function PointLines({
  list,
  lines,
  onChange,
}: {
  readonly list: ListName;
  readonly lines: readonly PointLine[];
  readonly onChange: (lines: readonly PointLine[]) => void;
}) {
  const { say } = useWording();
  const listName = say(`certificate.${list}`);
  return (
    <div>
      <table className="point-lines">
        <caption>{listName}</caption>
        <thead>
          <tr>
            {pointFields.map(({ name, key }) => (
              <th key={name} scope="col">
                {say(key)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lines.map((line, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other name, and none is moved
            <tr key={index}>
              {pointFields.map(({ name, key }) => (
                <td key={name}>
                  <input
                    data-testid={`${list}-${index}-${name}`}
                    inputMode="decimal"
                    autoComplete="off"
                    maxLength={30}
                    aria-label={say('certificate.line', {
                      list: listName,
                      number: index + 1,
                      field: say(key),
                    })}
                    value={line[name]}
                    onChange={(event) => {
                      const value = event.currentTarget.value;
                      onChange(lines.map((one, at) => (at === index ? { ...one, [name]: value } : one)));
                    }}
                  />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <button type="button" className="action" onClick={() => onChange([...lines, ...freshLines()])}>
        <span className="action-label">{say('certificate.moreLines')}</span>
      </button>
    </div>
  );
}

function readJson(text: string): Result<unknown> {
  try {
    return ok(JSON.parse(text));
  } catch (error) {
    return refuse('not_json', '', error instanceof Error ? error.message : '');
  }
}

function numberOf(certificate: unknown): string {
  return typeof certificate === 'object' && certificate !== null && 'number' in certificate
    ? String(certificate.number)
    : '';
}
