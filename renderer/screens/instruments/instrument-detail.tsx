import { useCallback } from 'react';
import type { InstrumentView } from '../../../shared/contract.ts';
import type { RegisteredInstrumentView } from '../../../shared/management-view.ts';
import type { Unit } from '../../../shared/quantity/unit.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { LiveText } from '../../parts/live-text.tsx';
import type { ReceivedReading } from '../../state/live-readings.ts';
import { codeKey } from '../../wording/refusal-sentence.ts';
import type { Wording } from '../../wording/wording.ts';
import { useSituation, useWording } from '../../workbench.ts';
import { BudgetTable } from './budget-table.tsx';
import { CertificateList } from './certificate-list.tsx';
import { CheckHistory } from './check-history.tsx';
import { ClassFacts } from './class-facts.tsx';
import { LastLines } from './last-lines.tsx';
import { isRejectionReason, rejectionSentences } from './rejection-words.ts';

interface InstrumentDetailProperties {
  readonly instrument: RegisteredInstrumentView;
  /** What the station says of it now; null for a retired one. */
  readonly live: InstrumentView | null;
}

/** Everything that is known of one instrument: fitness first, then what it rests on. */
export function InstrumentDetail({ instrument, live }: InstrumentDetailProperties) {
  const { snapshot } = useSituation();
  const wording = useWording();
  const { say, day } = wording;
  const { instrumentId, entry, retired, concessions } = instrument;
  const inUse = snapshot?.assigned[entry.kind] === instrumentId;
  const inForce = instrument.certificates.find((one) => one.inForce);
  return (
    <article className="desk-detail" data-testid={`instrument-${instrumentId}`}>
      <header className="desk-detail-head">
        <h2>{entry.name}</h2>
        {inUse && <p className="tag is-in-use">{say('instruments.inUse')}</p>}
        {entry.simulated && <p className="tag is-simulated">{say('audit.simulated')}</p>}
      </header>
      <Fitness instrument={instrument} />
      {live !== null && retired === null && <LiveState live={live} />}
      <dl className="facts">
        <Fact label={say('instruments.due')}>
          {inForce === undefined ? say('desk.none') : day(inForce.certificate.due)}
        </Fact>
        <Fact label={say('instruments.certificate')}>
          {inForce?.certificate.number ?? say('audit.noCertificate')}
        </Fact>
        <Fact label={say('instruments.scale')} when={entry.kind === 'scale'}>
          {instrumentId}
        </Fact>
        <Fact label={say('instruments.wrench')} when={entry.kind === 'wrench'}>
          {instrumentId}
        </Fact>
        <Fact label={say('instruments.serialNumber')}>{entry.serialNumber}</Fact>
        <Fact label={say('instruments.profileName')}>{entry.profileName}</Fact>
        <Fact label={say('instruments.steadiness')} when={instrument.steadiness !== null}>
          {instrument.steadiness !== null && wording.of(instrument.steadiness)}
        </Fact>
        <Fact label={say('instruments.class')}>{entry.accuracyClass ?? say('desk.none')}</Fact>
        <ClassFacts entry={entry} />
        <Fact label={say('instruments.capacity')}>{rangesText(entry.metrology, wording)}</Fact>
        <Fact label={say('instruments.mpe')}>{permissibleText(entry.metrology, wording)}</Fact>
        <Fact label={say('instruments.corrected')}>
          {say(entry.correctByCertificate ? 'instruments.correctedYes' : 'instruments.correctedNo')}
        </Fact>
        <Fact label={say('instruments.checkEvery')}>
          {entry.checkEveryHours === null
            ? say('desk.none')
            : say('instruments.hours', { count: entry.checkEveryHours })}
        </Fact>
      </dl>
      <CertificateList instrument={instrument} />
      <CheckHistory checks={instrument.checks} />
      {concessions.length > 0 && (
        <section>
          <h3>{say('instruments.concessions')}</h3>
          <ul>
            {concessions.toReversed().map((one) => (
              <li key={one.at}>
                {say('instruments.conceded', {
                  until: wording.moment(one.until),
                  name: one.by.name,
                  reason: one.reason,
                })}
              </li>
            ))}
          </ul>
        </section>
      )}
      <BudgetTable instrument={instrument} />
      {live !== null && retired === null && (
        <>
          <Rejections live={live} />
          <LastLines instrumentId={instrumentId} />
        </>
      )}
    </article>
  );
}

function Fact({
  label,
  when = true,
  children,
}: {
  readonly label: string;
  readonly when?: boolean;
  readonly children: React.ReactNode;
}) {
  return when ? (
    <div>
      <dt>{label}</dt>
      <dd>{children}</dd>
    </div>
  ) : null;
}

function Fitness({ instrument }: { readonly instrument: RegisteredInstrumentView }) {
  const { say, moment } = useWording();
  const { fitness, retired, concessions } = instrument;
  const concession = concessions.at(-1);
  const key = codeKey(fitness.code);
  const why =
    retired !== null
      ? say('instruments.retiredReason', { reason: retired })
      : fitness.code === 'conceded' && concession !== undefined
        ? say('instruments.conceded', {
            until: moment(concession.until),
            name: concession.by.name,
            reason: concession.reason,
          })
        : fitness.usable
          ? ''
          : key === null
            ? fitness.message
            : say(key);
  const verdict = !fitness.usable ? 'fail' : fitness.code === 'conceded' ? 'conditional pass' : 'pass';
  return (
    <p
      className={`desk-fitness is-${verdict.replace(' ', '-')}`}
      data-testid="fitness"
      data-code={fitness.code}
    >
      <VerdictIcon verdict={verdict} />
      <span>
        <strong>{say(fitness.usable ? 'instruments.usable' : 'instruments.unusable')}</strong> {why}
      </span>
    </p>
  );
}

/** Port, live value and pace. */
function LiveState({ live }: { readonly live: InstrumentView }) {
  const wording = useWording();
  const { say, fixed, moment } = wording;
  const { instrumentId, port, silent } = live;
  const speaks = port.state === 'open' && !silent;
  const write = useCallback(
    (received: ReceivedReading | null) => {
      if (received === null) return say('instruments.noLine');
      const { text, unit } = received.reading.indication;
      return wording.quantity(text, unit);
    },
    [say, wording],
  );
  return (
    <dl className="facts">
      <div>
        <dt>{say('instruments.line')}</dt>
        <dd className={speaks ? 'figures desk-live' : 'figures desk-live is-stale'}>
          <LiveText instrumentId={instrumentId} write={write} testId="desk-live" />
        </dd>
      </div>
      <div className="is-wide">
        <dt>{say('instruments.port')}</dt>
        <dd className={speaks ? 'with-icon' : 'is-fail with-icon'}>
          <VerdictIcon verdict={speaks ? 'pass' : 'stale'} />
          <span>
            {say(silent && port.state === 'open' ? 'port.silent' : `port.${port.state}`)}{' '}
            <span className="quiet">{port.path}</span>
          </span>
        </dd>
      </div>
      <div>
        <dt>{say('instruments.rate')}</dt>
        <dd className="figures">{fixed(live.linesPerSecond, 1)}</dd>
      </div>
      <div>
        <dt>{say('instruments.lastCheck')}</dt>
        <dd>{live.lastCheckAt === null ? say('instruments.never') : moment(live.lastCheckAt)}</dd>
      </div>
    </dl>
  );
}

function Rejections({ live }: { readonly live: InstrumentView }) {
  const { say, of } = useWording();
  const counted = Object.entries(live.rejections).filter(([, count]) => (count ?? 0) > 0);
  return (
    <section>
      <h3>{say('instruments.rejections')}</h3>
      {counted.length === 0 ? (
        <p>{say('instruments.noRejections')}</p>
      ) : (
        <ul className="rejections">
          {counted.map(([reason, count]) => (
            <li key={reason}>
              <strong className="figures">{count}</strong>{' '}
              {isRejectionReason(reason) ? of(rejectionSentences[reason]) : reason}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

type Metrology = RegisteredInstrumentView['entry']['metrology'];

function rangesText({ ranges, unit }: Metrology, { say, quantity }: Wording): string {
  const print = (value: number, of: Unit) => quantity(String(value), of);
  return ranges
    .map(({ upTo, resolution }) =>
      say('instruments.ranges', { upTo: print(upTo, unit), resolution: print(resolution, unit) }),
    )
    .join('; ');
}

function permissibleText({ maximumPermissibleError: error, unit }: Metrology, wording: Wording): string {
  if (error === undefined) return wording.say('desk.none');
  return error.kind === 'absolute'
    ? `± ${wording.quantity(String(error.value), unit)}`
    : `± ${wording.decimal(String(Number((error.fraction * 100).toPrecision(6))))} %`;
}
