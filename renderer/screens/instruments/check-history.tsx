import type { InstrumentCheckView } from '../../../shared/management-view.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { useWording } from '../../workbench.ts';

const width = 900;
const height = 170;
const middle = height / 2;
/** Height of the limit above the middle. */
const limitHeight = 55;
const mostShown = 40;

/** The checks with a known mass or torque: their chart, and the last ones in words. */
export function CheckHistory({ checks }: { readonly checks: readonly InstrumentCheckView[] }) {
  const { say, moment, quantity } = useWording();
  return (
    <section data-testid="checks">
      <h3>{say('checks.title')}</h3>
      {checks.length === 0 ? (
        <p>{say('checks.none')}</p>
      ) : (
        <>
          {checks.length > 1 && <CheckChart checks={checks.slice(-mostShown)} />}
          <table className="figures">
            <thead>
              <tr>
                <th scope="col">{say('audit.time')}</th>
                <th scope="col">{say('audit.person')}</th>
                <th scope="col">{say('checks.reference')}</th>
                <th scope="col">{say('certificate.indication')}</th>
                <th scope="col">{say('checks.difference')}</th>
                <th scope="col">{say('checks.limit')}</th>
                <th scope="col">{say('checks.verdict')}</th>
              </tr>
            </thead>
            <tbody>
              {checks
                .toReversed()
                .slice(0, 5)
                .map((check) => (
                  <tr key={check.at}>
                    <td>{moment(check.at)}</td>
                    <td>{check.by.name}</td>
                    <td>
                      {check.reference.name}: {quantity(String(check.reference.value), check.reference.unit)}
                    </td>
                    <td>{quantity(String(check.indication.value), check.indication.unit)}</td>
                    <td>{quantity(check.difference.text, check.difference.unit)}</td>
                    <td>± {quantity(String(check.limit.value), check.limit.unit)}</td>
                    <td className={check.passed ? 'is-pass' : 'is-fail'}>
                      <span className="with-icon">
                        <VerdictIcon verdict={check.passed ? 'pass' : 'fail'} />
                        {say(check.passed ? 'checks.passed' : 'checks.failed')}
                      </span>
                    </td>
                  </tr>
                ))}
            </tbody>
          </table>
        </>
      )}
    </section>
  );
}

function CheckChart({ checks }: { readonly checks: readonly InstrumentCheckView[] }) {
  const { say } = useWording();
  const x = (index: number) => 20 + (index / Math.max(1, checks.length - 1)) * (width - 40);
  const y = ({ used, difference }: InstrumentCheckView) =>
    middle - Math.max(-1.4, Math.min(1.4, Math.sign(difference.value) * used)) * limitHeight;
  return (
    <svg
      className="check-chart"
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={say('checks.chart')}
    >
      <line x1="0" x2={width} y1={middle} y2={middle} className="plot-axis" />
      {[1, -1].map((sign) => (
        <line
          key={sign}
          x1="0"
          x2={width}
          y1={middle - sign * limitHeight}
          y2={middle - sign * limitHeight}
          className="plot-limit"
        />
      ))}
      <path
        d={`M${checks.map((check, index) => `${x(index)} ${y(check)}`).join('L')}`}
        className="plot-line"
      />
      {checks.map((check, index) =>
        check.passed ? (
          <circle key={check.at} cx={x(index)} cy={y(check)} r="6" className="plot-point" />
        ) : (
          <rect
            key={check.at}
            x={x(index) - 8}
            y={y(check) - 8}
            width="16"
            height="16"
            className="plot-fail"
          />
        ),
      )}
    </svg>
  );
}
