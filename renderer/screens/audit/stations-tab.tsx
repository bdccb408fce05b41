import { useEffect } from 'react';
import type { SiteChainView } from '../../../shared/audit/view.ts';
import { focusEntry } from '../../key-handling.ts';
import { chosenChain } from '../../state/audit-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { useChains } from './station-select.tsx';
import { VerifyResult } from './verify-result.tsx';

/** The chains that a site has: choose one, and prove from the site store alone that nothing in it was altered. */
export function StationsTab() {
  const { screen } = useSituation();
  const { say } = useWording();
  const { chains } = screen.audit;
  useChains(true);
  const isThere = chains !== null;
  useEffect(() => {
    if (isThere) focusEntry();
  }, [isThere]);
  return (
    <>
      <VerifyResult />
      {chains === null && <p className="quiet">{say('desk.loading')}</p>}
      {chains !== null && chains.length === 0 && <p>{say('audit.stations.none')}</p>}
      {chains !== null && chains.length > 0 && <Chains chains={chains} />}
    </>
  );
}

function Chains({ chains }: { readonly chains: readonly SiteChainView[] }) {
  const { audit } = useSituation().screen;
  const { hands } = useWorkbench();
  const { say, moment } = useWording();
  const chosen = chosenChain(audit)?.chainId ?? null;
  return (
    <table className="chains">
      <thead>
        <tr>
          <th scope="col">{say('audit.bench')}</th>
          <th scope="col">{say('audit.stations.station')}</th>
          <th scope="col">{say('audit.stations.branch')}</th>
          <th scope="col">{say('audit.stations.events')}</th>
          <th scope="col">{say('audit.stations.received')}</th>
        </tr>
      </thead>
      <tbody>
        {chains.map((chain, index) => {
          const { chainId, benchId, stationId, branch, forkedAfter, events, receivedAt, leftBehind } = chain;
          const isEntry = chosen === null ? index === 0 : chainId === chosen;
          return (
            <tr key={chainId} data-testid={`chain-${chainId}`}>
              <th scope="row">
                <label className="chain">
                  <input
                    type="radio"
                    name="chain"
                    value={chainId}
                    checked={chainId === chosen}
                    data-testid={`choose-chain-${chainId}`}
                    {...(isEntry ? { 'data-entry': '' } : {})}
                    onChange={() => hands.setAudit({ chainId })}
                  />
                  {benchId}
                </label>
              </th>
              <td className="hash">{stationId}</td>
              <td>
                {forkedAfter === 0 ? branch : say('audit.stations.forked', { branch, event: forkedAfter })}
                {leftBehind && <strong> {say('audit.stations.leftBehind')}</strong>}
              </td>
              <td className="figures">{events}</td>
              <td>{moment(receivedAt)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
