import { useEffect } from 'react';
import { chosenStation, stationsOf, withStation } from '../../state/audit-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterSelect } from './filter-panel.tsx';

/** Fetches the chains of a site, anew when the connection came back. */
export function useChains(isWanted: boolean): void {
  const { connection } = useSituation();
  const { hands } = useWorkbench();
  useEffect(() => {
    if (!isWanted || connection !== 'connected') return;
    // Beside whoever works on: a key that is pressed meanwhile counts.
    void hands.call('siteChains', {}).then((answer) => {
      if (answer.ok) hands.setAudit({ chains: answer.value.chains });
      else hands.say({ tone: 'refused', failure: answer.error });
    });
  }, [hands, connection, isWanted]);
}

/** Whose charts and calibrations: the stations of a site by their benches. Nothing at the desk of a bench. */
export function StationSelect({ entry = false }: { readonly entry?: boolean }) {
  const { screen, snapshot } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const isSite = snapshot?.site !== undefined;
  useChains(isSite);
  if (!isSite) return null;
  const stations = stationsOf(screen.audit);
  // A bench that was set up anew has several.
  const isOnlyOne = (benchId: string) => stations.filter((one) => one.benchId === benchId).length === 1;
  return (
    <FilterSelect
      name="station"
      label={say('audit.bench')}
      value={chosenStation(screen.audit) ?? ''}
      empty={chosenStation(screen.audit) === null}
      none={say('audit.impact.choose')}
      entry={entry}
      options={stations.map(({ benchId, stationId }) => ({
        value: stationId,
        label: isOnlyOne(benchId) ? benchId : `${benchId}: ${stationId}`,
      }))}
      onChange={(value) => hands.setAudit(withStation(value === '' ? null : value))}
    />
  );
}
