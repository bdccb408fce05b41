import { useMemo } from 'react';
import type { CaptureView } from '../../../shared/contract.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { Trace } from '../../parts/trace.tsx';
import { ruleText, uncertaintyDigits } from '../../parts/why-dialog.tsx';
import { unitName } from '../../wording/unit-name.ts';
import { roughText } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';
import { BudgetLines } from '../instruments/budget-table.tsx';
import { JobsWith } from './jobs-with.tsx';
import { limitsOnDisplay } from './limits-on-display.ts';
import { RawLines } from './raw-lines.tsx';

/** One captured reading, with everything that it stands on. */
export function CaptureCard({
  capture,
  stepTitle,
}: {
  readonly capture: CaptureView;
  /** Its step as the sheet names it. */
  readonly stepTitle: string;
}) {
  const wording = useWording();
  const { say, decimal, quantity, percent, moment } = wording;
  const unit = unitName(capture.unit);
  const print = (value: number | null | undefined, none: string) =>
    value == null ? none : decimal(String(Number(value.toPrecision(6))));
  const range = (limits: { lower?: number | null | undefined; upper?: number | null | undefined }) =>
    `${print(limits.lower, '−∞')} … ${print(limits.upper, '∞')} ${unit}`;
  const { instrument } = capture;
  const facts: readonly (readonly [string, string])[] = [
    [say('audit.indication'), quantity(capture.indication.text, capture.indication.unit)],
    ...(capture.tare === null
      ? []
      : ([[say('audit.tare'), quantity(capture.tare.text, capture.tare.unit)]] as const)),
    [say('audit.band'), range(capture.band)],
    [say('audit.acceptance'), capture.acceptance === null ? say('gauge.noZone') : range(capture.acceptance)],
    [
      say('audit.uncertainty'),
      `± ${decimal(roughText(capture.expandedUncertainty, uncertaintyDigits))} ${unit} (k = ${wording.fixed(capture.coverageFactor, 2)})`,
    ],
    [say('audit.rule'), ruleText(capture.rule, wording)],
    [say('audit.conformance'), percent(capture.conformance)],
    [
      say('audit.instrument'),
      `${instrument.name}${instrument.simulated ? ` (${say('instruments.simulated')})` : ''}`,
    ],
    [
      say('instruments.certificate'),
      instrument.certificateNumber === null
        ? say('audit.noCertificate')
        : say('audit.certificate', {
            number: instrument.certificateNumber,
            day: instrument.calibrationDue === null ? '–' : wording.day(instrument.calibrationDue),
          }),
    ],
    ...(instrument.concession === null ? [] : ([[say('audit.concession'), instrument.concession]] as const)),
    ...(capture.pulls.length === 0
      ? []
      : ([
          [
            say('audit.pulls'),
            capture.pulls
              .map(({ peak, unit: own, final }) => {
                const text = quantity(String(Number(peak.toPrecision(8))), own);
                return final ? say('audit.finalPull', { quantity: text }) : text;
              })
              .join(', '),
          ],
        ] as const)),
    [say('audit.profile'), `${instrument.profileName} · ${instrument.profileHash.slice(0, 12)}…`],
    [say('audit.time'), moment(capture.at)],
    [say('audit.person'), capture.person],
    [say('audit.step'), `${stepTitle} · ${say('audit.attempt', { number: capture.attempt })}`],
  ];
  return (
    <article className="capture" data-testid={`capture-${capture.captureId}`}>
      <header className={`capture-head is-${capture.decision.replace(' ', '-')}`}>
        <VerdictIcon verdict={capture.decision} />
        <strong className="capture-value">{quantity(capture.measured.text, capture.measured.unit)}</strong>
        <span>{say(`verdict.${capture.decision}`)}</span>
        <span className="quiet">{say('audit.sequence', { number: capture.sequence })}</span>
      </header>
      <div className="capture-body">
        <dl className="facts">
          {facts.map(([name, value]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
        {capture.trace.length > 1 && <CaptureTrace capture={capture} />}
      </div>
      <p className="jobs-with">
        <JobsWith
          label={say('audit.jobsWith', { what: instrument.name })}
          filter={{ instrumentId: instrument.instrumentId }}
        />
        {instrument.certificateNumber !== null && (
          <JobsWith
            label={say('audit.jobsWith', { what: instrument.certificateNumber })}
            filter={{ certificate: instrument.certificateHash ?? instrument.certificateNumber }}
          />
        )}
      </p>
      <details>
        <summary>{say('audit.budget')}</summary>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
        <div className="scroll-box" tabIndex={0}>
          <BudgetLines budget={capture.budget} />
        </div>
      </details>
      <RawLines lines={capture.rawLines} />
      <p className="hash">
        {say('audit.hash')}: {capture.hash}
      </p>
    </article>
  );
}

function CaptureTrace({ capture }: { readonly capture: CaptureView }) {
  const { say } = useWording();
  const { trace, indication } = capture;
  const source = useMemo(
    () => ({
      points: () => ({
        seconds: trace.map(([milliseconds]) => milliseconds / 1000),
        values: trace.map(([, value]) => value),
      }),
    }),
    [trace],
  );
  const { tolerance, acceptance } = useMemo(() => limitsOnDisplay(capture), [capture]);
  return (
    <figure className="capture-trace">
      <figcaption>
        {say('audit.trace')} ({unitName(indication.unit)})
      </figcaption>
      <Trace
        source={source}
        tolerance={tolerance}
        acceptance={acceptance}
        windowSeconds={null}
        label={say('audit.trace')}
      />
    </figure>
  );
}
