import { fromBase64 } from '../../../shared/evidence/base64.ts';
import type { LinePart, TeachGuess, TeachView } from '../../../shared/teach-view.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { hexText, printableText } from '../../wording/byte-text.ts';
import { codeKey } from '../../wording/refusal-sentence.ts';
import type { Wording } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

/** A lesson under way: bytes as they come, what is guessed of them, and what was confirmed. */
export function LessonPicture({ teach }: { readonly teach: TeachView }) {
  const wording = useWording();
  const { say, quantity } = wording;
  const { port, lines, guess, known, confirmations, practice } = teach;
  if (port === null) return null;
  const isOpen = port.state === 'open';
  return (
    <article className="desk-detail" data-testid="lesson" data-bytes={port.bytes}>
      <p className={isOpen ? 'desk-fitness is-pass' : 'desk-fitness is-fail'}>
        <VerdictIcon verdict={isOpen ? 'pass' : 'stale'} />
        <span>
          <strong>
            {say('teach.listening', { port: port.portId, baud: port.baud, format: port.format })}
          </strong>{' '}
          {say(`port.${port.state}`)}. {say('teach.bytes', { count: port.bytes })}.
        </span>
      </p>
      {practice !== null && (
        <section className="practice">
          <h3>{say('teach.display')}</h3>
          <p className="practice-display figures" data-testid="practice-display" data-state={practice.state}>
            {quantity(practice.text, practice.unit)}{' '}
            <span className="practice-state">
              {say(practice.state === 'stable' ? 'measure.settled' : 'measure.unsettled')}
            </span>
          </p>
        </section>
      )}
      <section>
        <h3>{say('teach.confirmed')}</h3>
        {confirmations.length === 0 ? (
          <p>{say('teach.confirmedNone')}</p>
        ) : (
          <ul data-testid="confirmations">
            {confirmations.map(({ text, unit, state }, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: confirmations are only added
              <li key={index} className="with-icon">
                <VerdictIcon verdict="pass" />
                <span>
                  {quantity(text, unit)} {say(`field.displayState.${state ?? 'none'}`)}
                </span>
              </li>
            ))}
          </ul>
        )}
      </section>
      <section>
        <h3>{say('teach.guess')}</h3>
        {guess !== null && <Guess guess={guess} wording={wording} />}
        {known.length > 0 && (
          <>
            <h4>{say('teach.known')}</h4>
            <ul>
              {known.map((one) => (
                <li key={one.name}>{say('teach.knownCount', { ...one })}</li>
              ))}
            </ul>
          </>
        )}
      </section>
      <section>
        <h3>{say('lines.title')}</h3>
        {lines.length === 0 ? (
          <p>{say('lines.none')}</p>
        ) : (
          <table>
            <thead>
              <tr>
                <th scope="col">{say('lines.text')}</th>
                <th scope="col">{say('lines.hex')}</th>
              </tr>
            </thead>
            <tbody>
              {lines.toReversed().map(({ base64 }, index) => {
                const bytes = fromBase64(base64) ?? new Uint8Array();
                return (
                  // biome-ignore lint/suspicious/noArrayIndexKey: a place in the table, not a line, is drawn anew
                  <tr key={index}>
                    <td>
                      <code>{printableText(bytes)}</code>
                    </td>
                    <td>
                      <code>{hexText(bytes)}</code>
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        )}
      </section>
    </article>
  );
}

function Guess({ guess, wording }: { readonly guess: TeachGuess; readonly wording: Wording }) {
  const { say } = wording;
  if (!guess.ok) {
    const key = codeKey(guess.code);
    return <p>{key === null ? guess.message : say(key)}</p>;
  }
  const bytes = (hex: string) =>
    printableText(Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16)));
  return (
    <>
      <dl className="facts">
        {guess.start !== null && (
          <div>
            <dt>{say('teach.frameStart')}</dt>
            <dd>{bytes(guess.start)}</dd>
          </div>
        )}
        <div>
          <dt>{say('teach.frame')}</dt>
          <dd>{guess.ends.map(bytes).join(', ')}</dd>
        </div>
        <div>
          <dt>{say('teach.decimal')}</dt>
          <dd>
            <code>{guess.decimal}</code>
          </dd>
        </div>
        <div>
          <dt>{say('teach.parity')}</dt>
          <dd>
            {guess.parityLeftIn ? say('teach.parityLeftIn') : say('teach.parityFine')}{' '}
            {guess.betterFormat !== null && say('teach.betterFormat', { format: guess.betterFormat })}
          </dd>
        </div>
      </dl>
      <h4>{say('teach.columns')}</h4>
      <ul className="taught-lines" data-testid="taught-lines">
        {guess.lines.toReversed().map((parts, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a place in the list, not a line, is drawn anew
          <li key={index}>
            {parts.map((part, at) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a place in the line
              <Part key={at} part={part} named={index === 0} wording={wording} />
            ))}
          </li>
        ))}
      </ul>
    </>
  );
}

/** A piece of a line; what it is taken for by colour, line and, in the newest line, by word. */
function Part({
  part,
  named,
  wording,
}: {
  readonly part: LinePart;
  readonly named: boolean;
  readonly wording: Wording;
}) {
  if (part.role === null) return <span>{part.text}</span>;
  return (
    <span className={`taught-part is-${part.role}`}>
      {part.text}
      {named && <small>{wording.say(`teach.role.${part.role}`)}</small>}
    </span>
  );
}
