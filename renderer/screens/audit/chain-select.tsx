import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterSelect } from './filter-panel.tsx';
import { placeText } from './place-text.ts';
import { useChains } from './station-select.tsx';

/** What a bundle at a site is of: one serial, or one of the chains. */
export function ChainSelect() {
  const { chains, bundleChainId } = useSituation().screen.audit;
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  useChains(true);
  const all = chains ?? [];
  return (
    <FilterSelect
      name="bundleChain"
      label={say('audit.export.of')}
      value={bundleChainId === null ? '' : String(bundleChainId)}
      none={say('audit.export.of.serial')}
      options={all.map((chain) => {
        const place = placeText(chain, wording);
        // A bench that was set up anew has several.
        const isAlone = all.every(
          (one) => one.benchId !== chain.benchId || one.stationId === chain.stationId,
        );
        return { value: String(chain.chainId), label: isAlone ? place : `${place}: ${chain.stationId}` };
      })}
      onChange={(value) => hands.setAudit({ bundleChainId: value === '' ? null : Number(value) })}
    />
  );
}
