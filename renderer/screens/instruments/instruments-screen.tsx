import { useCallback } from 'react';
import type { InstrumentView } from '../../../shared/contract.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { LiveText } from '../../parts/live-text.tsx';
import type { ReceivedReading } from '../../state/live-readings.ts';
import { codeKey } from '../../wording/refusal-sentence.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { isRejectionReason, rejectionSentences } from './rejection-words.ts';

/** Every instrument of the bench: may it be used, what does it say, what was not believed. */
export function InstrumentsScreen() {
  const { snapshot } = useSituation();
  const { say } = useWording();
  const instruments = snapshot?.instruments ?? [];
  return (
    <div className="desk">
      <h1 className="visually-hidden">{say('screen.instruments')}</h1>
      {instruments.length === 0 && <p>{say('instruments.none')}</p>}
      <div className="cards">
        {instruments.map((instrument) => (
          <InstrumentCard key={instrument.instrumentId} instrument={instrument} />
        ))}
      </div>
    </div>
  );
}

function InstrumentCard({ instrument }: { readonly instrument: InstrumentView }) {
  const { snapshot } = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say, day, moment, of } = wording;
  const { instrumentId, kind, fitness, port } = instrument;
  const inUse = snapshot?.assigned[kind] === instrumentId;
  const speaks = port.state === 'open' && !instrument.silent;
  const write = useCallback(
    (received: ReceivedReading | null) => {
      if (received === null) return say('instruments.noLine');
      const { text, unit } = received.reading.indication;
      return wording.quantity(text, unit);
    },
    [say, wording],
  );
  const rejections = Object.entries(instrument.rejections).filter(([, count]) => (count ?? 0) > 0);
  const fitnessKey = codeKey(fitness.code);
  return (
    <section className="card" data-testid={`instrument-${instrumentId}`}>
      <header>
        {inUse && <p className="tag is-in-use">{say('instruments.inUse')}</p>}
        <h2>{instrument.name}</h2>
        <p className="quiet">
          {say(`instruments.${kind}`)} · {instrument.profileName}
          {instrument.simulated ? ` · ${say('instruments.simulated')}` : ''}
        </p>
      </header>
      <p className={fitness.usable ? 'is-pass with-icon' : 'is-fail with-icon'}>
        <VerdictIcon verdict={fitness.usable ? 'pass' : 'fail'} />
        <span>
          <strong>{say(fitness.usable ? 'instruments.usable' : 'instruments.unusable')}</strong>{' '}
          {fitness.usable ? '' : fitnessKey === null ? fitness.message : say(fitnessKey)}
        </span>
      </p>
      <p className={speaks ? 'with-icon' : 'is-fail with-icon'}>
        <VerdictIcon verdict={speaks ? 'short' : 'stale'} />
        <span>
          {say('instruments.port')}:{' '}
          {say(instrument.silent && port.state === 'open' ? 'port.silent' : `port.${port.state}`)}{' '}
          <span className="quiet">{port.path}</span>
        </span>
      </p>
      <dl className="facts">
        <div>
          <dt>{say('instruments.line')}</dt>
          <dd className={speaks ? 'figures' : 'figures is-stale'}>
            <LiveText instrumentId={instrumentId} write={write} />
          </dd>
        </div>
        <div>
          <dt>{say('instruments.rate')}</dt>
          <dd className="figures">{wording.fixed(instrument.linesPerSecond, 1)}</dd>
        </div>
        <div>
          <dt>{say('instruments.certificate')}</dt>
          <dd>{instrument.certificateNumber ?? say('audit.noCertificate')}</dd>
        </div>
        <div>
          <dt>{say('instruments.due')}</dt>
          <dd>{instrument.calibrationDue === null ? '–' : day(instrument.calibrationDue)}</dd>
        </div>
        <div>
          <dt>{say('instruments.lastCheck')}</dt>
          <dd>
            {instrument.lastCheckAt === null ? say('instruments.never') : moment(instrument.lastCheckAt)}
          </dd>
        </div>
      </dl>
      <details>
        <summary>
          {say('instruments.rejections')}:{' '}
          {rejections.length === 0
            ? say('instruments.noRejections')
            : rejections.reduce((sum, [, count]) => sum + (count ?? 0), 0)}
        </summary>
        <ul className="rejections">
          {rejections.map(([reason, count]) => (
            <li key={reason}>
              <strong>{count}</strong> {isRejectionReason(reason) ? of(rejectionSentences[reason]) : reason}
            </li>
          ))}
        </ul>
      </details>
      {!inUse && (
        <button
          type="button"
          className="action"
          data-testid={`assign-${instrumentId}`}
          onClick={() => void hands.ask('assignInstrument', { instrumentId })}
        >
          <span className="action-label">{say('instruments.use')}</span>
        </button>
      )}
    </section>
  );
}
