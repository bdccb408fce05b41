import type { InstrumentView } from '../../../shared/contract.ts';
import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenInstrument } from '../../state/desk-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { InstrumentDetail } from './instrument-detail.tsx';

/** The register of instruments: may each be used, and everything that is known of the chosen one. */
export function InstrumentsScreen() {
  const { snapshot, screen } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const live = snapshot?.instruments ?? [];
  const { register } = screen.desk;
  const chosen = chosenInstrument(screen.desk);
  return (
    <DeskPage title="screen.instruments" stamp={live.map(stampOf).join()}>
      {register === null && <p>{say('desk.loading')}</p>}
      {register?.length === 0 && <p>{say('instruments.none')}</p>}
      <div className="two-sides">
        <DeskList
          label={say('instruments.list')}
          chosenId={chosen?.instrumentId}
          onChoose={(instrumentId) => hands.setDesk({ instrumentId })}
          items={(register ?? []).map(({ instrumentId, entry, fitness, retired }) => ({
            id: instrumentId,
            label: entry.name,
            detail:
              retired !== null
                ? say('instruments.retired')
                : `${say(fitness.usable ? 'instruments.usable' : 'instruments.unusable')}${
                    snapshot?.assigned[entry.kind] === instrumentId ? ` · ${say('instruments.inUse')}` : ''
                  }`,
            mark: <VerdictIcon verdict={retired === null && fitness.usable ? 'pass' : 'fail'} />,
          }))}
        />
        {chosen !== undefined && (
          <InstrumentDetail
            key={chosen.instrumentId}
            instrument={chosen}
            live={live.find(({ instrumentId }) => instrumentId === chosen.instrumentId) ?? null}
          />
        )}
      </div>
    </DeskPage>
  );
}

function stampOf({ instrumentId, fitness, certificateNumber, lastCheckAt }: InstrumentView): string {
  return [instrumentId, fitness.code, certificateNumber, lastCheckAt].join(' ');
}
