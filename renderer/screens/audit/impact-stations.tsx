import type { ImpactStationView } from '../../../shared/audit/impact-view.ts';
import { useWording } from '../../workbench.ts';

/** Where the captures were made, among the benches of a site. */
export function ImpactStations({ stations }: { readonly stations: readonly ImpactStationView[] }) {
  const { say } = useWording();
  return (
    <table className="impact-counts" data-testid="impact-stations">
      <caption>{say('audit.impact.stations')}</caption>
      <thead>
        <tr>
          <th scope="col">{say('audit.bench')}</th>
          <th scope="col">{say('audit.impact.judged')}</th>
          <th scope="col">{say('audit.impact.changed')}</th>
          <th scope="col">{say('audit.impact.unknown')}</th>
        </tr>
      </thead>
      <tbody>
        {stations.map(({ benchId, stationId, judged, changed, unknown }) => (
          <tr key={stationId}>
            <th scope="row">{benchId}</th>
            <td className="figures">{judged}</td>
            <td className={changed > 0 ? 'figures is-change' : 'figures'}>{changed}</td>
            <td className={unknown > 0 ? 'figures is-change' : 'figures'}>{unknown}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
