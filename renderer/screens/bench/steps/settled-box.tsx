import { VerdictIcon } from '../../../parts/icons.tsx';
import { LastValueAge } from '../../../parts/last-value-age.tsx';
import { VerdictWord } from '../../../parts/verdict-word.tsx';
import { staleWord } from '../../../state/trouble.ts';
import { useLive, useSituation, useWording } from '../../../workbench.ts';

/** Settled or not, by word and shape: all there is to say of a mass that is not judged. */
export function SettledBox({
  instrumentId,
  stale,
}: {
  readonly instrumentId: string | null;
  readonly stale: boolean;
}) {
  const { say } = useWording();
  const situation = useSituation();
  const state = useLive(instrumentId, (reading) =>
    reading === null ? 'waiting' : reading.settled ? 'settled' : 'unsettled',
  );
  const shown = stale ? 'stale' : state;
  if (shown === 'settled') {
    return (
      <div className="verdict" data-verdict="settled" data-testid="verdict">
        <svg className="icon" viewBox="0 0 48 48" aria-hidden="true">
          <path d="M4 30h40M14 30V18h20v12" fill="none" stroke="currentColor" strokeWidth="5" />
        </svg>
        <div>
          <VerdictWord word={say('measure.settled')} />
        </div>
      </div>
    );
  }
  return (
    <div className="verdict" data-verdict={shown} data-testid="verdict">
      <VerdictIcon verdict={shown} />
      <div>
        <VerdictWord
          word={say(
            shown === 'unsettled'
              ? 'measure.unsettled'
              : shown === 'stale'
                ? staleWord(situation)
                : `verdict.${shown}`,
          )}
        />
        {shown === 'stale' && (
          <p className="verdict-distance">
            <LastValueAge instrumentId={instrumentId} />
          </p>
        )}
      </div>
    </div>
  );
}
