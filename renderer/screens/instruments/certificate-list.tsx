import type { CalibrationPoint, Certificate } from '../../../shared/calibration/certificate.ts';
import type { RegisteredInstrumentView } from '../../../shared/management-view.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { unitName } from '../../wording/unit-name.ts';
import { roughText } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';
import { ErrorPlot } from './error-plot.tsx';

/** Every certificate of an instrument, the one that counts first and unfolded. */
export function CertificateList({ instrument }: { readonly instrument: RegisteredInstrumentView }) {
  const { say, day } = useWording();
  const newestFirst = instrument.certificates.toReversed();
  const inOrder = [...newestFirst.filter((one) => one.inForce), ...newestFirst.filter((one) => !one.inForce)];
  return (
    <section>
      <h3>{say('instruments.certificates')}</h3>
      {inOrder.length === 0 && <p>{say('instruments.noCertificate')}</p>}
      {inOrder.map((one) => {
        const { certificate, hash, state, by, inForce } = one;
        const isGood = state === 'valid' || state === 'due soon';
        const verdict = state === 'due soon' ? 'conditional pass' : isGood ? 'pass' : 'fail';
        return (
          <details
            key={hash}
            open={inForce}
            className="certificate"
            data-testid={`certificate-${certificate.number}`}
          >
            <summary>
              <VerdictIcon verdict={verdict} />
              {say('certificate.of', { number: certificate.number, day: day(certificate.date) })}:{' '}
              {say(`certificate.state.${state}`)}
              {inForce && isGood ? `, ${say('certificate.inForce')}` : ''}
            </summary>
            <dl className="facts">
              <div>
                <dt>{say('certificate.due')}</dt>
                <dd>{day(certificate.due)}</dd>
              </div>
              <div>
                <dt>{say('certificate.provider')}</dt>
                <dd>{certificate.provider}</dd>
              </div>
              <div>
                <dt>{say('certificate.reference')}</dt>
                <dd>{certificate.reference}</dd>
              </div>
              <div>
                <dt>{say('certificate.enteredBy')}</dt>
                <dd>{say('desk.by', { day: day(one.at), name: by.name })}</dd>
              </div>
            </dl>
            <Points certificate={certificate} instrument={instrument} />
          </details>
        );
      })}
    </section>
  );
}

function Points({
  certificate,
  instrument,
}: {
  readonly certificate: Certificate;
  readonly instrument: RegisteredInstrumentView;
}) {
  const { say } = useWording();
  const { asFound, asLeft, unit } = certificate;
  const adjusted = JSON.stringify(asFound) !== JSON.stringify(asLeft);
  return (
    <>
      <div className="points">
        <PointTable caption={`${say('certificate.asLeft')}, ${unitName(unit)}`} points={asLeft} />
        <ErrorPlot points={asLeft} metrology={instrument.entry.metrology} unit={unit} />
      </div>
      {adjusted && (
        <div className="points">
          <PointTable caption={`${say('certificate.asFound')}, ${unitName(unit)}`} points={asFound} />
          <ErrorPlot points={asFound} metrology={instrument.entry.metrology} unit={unit} />
        </div>
      )}
    </>
  );
}

function PointTable({
  caption,
  points,
}: {
  readonly caption: string;
  readonly points: readonly CalibrationPoint[];
}) {
  const { say, decimal } = useWording();
  const print = (value: number) => decimal(String(value));
  return (
    <table className="figures">
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{say('certificate.indication')}</th>
          <th scope="col">{say('certificate.referenceValue')}</th>
          <th scope="col">{say('certificate.error')}</th>
          <th scope="col">{say('certificate.expanded')}</th>
          <th scope="col">{say('certificate.k')}</th>
        </tr>
      </thead>
      <tbody>
        {points.map((point) => (
          <tr key={point.indication}>
            <td>{print(point.indication)}</td>
            <td>{print(point.reference)}</td>
            <td>{decimal(errorText(point))}</td>
            <td>{print(point.expanded)}</td>
            <td>{print(point.k)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** indication − reference without the noise of binary fractions. */
export function errorText({ indication, reference }: CalibrationPoint): string {
  const error = indication - reference;
  const text = roughText(error, 6)
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
  return Math.abs(error) < 1e-9 ? '0' : text;
}
