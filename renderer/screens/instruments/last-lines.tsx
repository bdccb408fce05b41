import { useEffect, useState } from 'react';
import { fromBase64 } from '../../../shared/evidence/base64.ts';
import type { InstrumentLineView } from '../../../shared/teach-view.ts';
import { hexText, printableText } from '../../wording/byte-text.ts';
import { useWording, useWorkbench } from '../../workbench.ts';

const lookEveryMilliseconds = 1000;
const linesShown = 8;

/** The last lines of an instrument as text and as bytes, newest on top; looked at anew each second while unfolded. */
export function LastLines({ instrumentId }: { readonly instrumentId: string }) {
  const { hands } = useWorkbench();
  const { say, timeOfDay } = useWording();
  const [isOpen, setIsOpen] = useState(false);
  const [lines, setLines] = useState<readonly InstrumentLineView[]>([]);
  useEffect(() => {
    if (!isOpen) return;
    const look = () =>
      void hands.call('instrumentLines', { instrumentId }).then((answer) => {
        if (answer.ok) setLines(answer.value.lines.slice(-linesShown));
      });
    look();
    const timer = setInterval(look, lookEveryMilliseconds);
    return () => clearInterval(timer);
  }, [hands, instrumentId, isOpen]);
  return (
    <details className="last-lines" onToggle={(event) => setIsOpen(event.currentTarget.open)}>
      <summary>{say('lines.title')}</summary>
      {lines.length === 0 ? <p>{say('lines.none')}</p> : <LineTable lines={lines} timeOfDay={timeOfDay} />}
    </details>
  );
}

function LineTable({
  lines,
  timeOfDay,
}: {
  readonly lines: readonly InstrumentLineView[];
  readonly timeOfDay: (instant: string) => string;
}) {
  const { say } = useWording();
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('lines.time')}</th>
          <th scope="col">{say('lines.text')}</th>
          <th scope="col">{say('lines.hex')}</th>
        </tr>
      </thead>
      <tbody>
        {lines.toReversed().map(({ at, base64 }, index) => {
          const bytes = fromBase64(base64) ?? new Uint8Array();
          return (
            // biome-ignore lint/suspicious/noArrayIndexKey: a place in the table, not a line, is drawn anew
            <tr key={index}>
              <td className="figures">{timeOfDay(at)}</td>
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
  );
}
