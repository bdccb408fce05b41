import { useEffect, useState } from 'react';
import type { LotUseView, LotView } from '../../../shared/management-view.ts';
import { lotAmount } from '../../wording/lot-amount.ts';
import { stepName } from '../../wording/step-name.ts';
import { useWording, useWorkbench } from '../../workbench.ts';
import { showSerial } from '../audit/show-serial.ts';

/** Every job that a lot went into, the newest first. */
export function LotUses({ lot }: { readonly lot: LotView }) {
  const wording = useWording();
  const { say, moment } = wording;
  const { hands } = useWorkbench();
  const [fetched, setFetched] = useState<{ lotId: string; uses: readonly LotUseView[] } | null>(null);
  useEffect(() => {
    let isOver = false;
    void hands.call('lotUses', { lotId: lot.lotId }).then((answer) => {
      if (answer.ok && !isOver) setFetched({ lotId: lot.lotId, uses: answer.value.uses });
    });
    return () => {
      isOver = true;
    };
    // The lot as it was fetched, not its name alone: it is fetched anew after each change.
  }, [hands, lot]);
  const uses = fetched?.lotId === lot.lotId ? fetched.uses : null;
  return (
    <>
      <h3>{say('stock.trace')}</h3>
      {uses === null && <p>{say('desk.loading')}</p>}
      {uses?.length === 0 && <p>{say('stock.neverUsed')}</p>}
      {uses !== null && uses.length > 0 && (
        <table data-testid="lot-uses">
          <thead>
            <tr>
              <th scope="col">{say('audit.time')}</th>
              <th scope="col">{say('stock.serial')}</th>
              <th scope="col">{say('audit.step')}</th>
              <th scope="col">{say('audit.person')}</th>
              <th scope="col">{say('stock.quantity')}</th>
              <td />
            </tr>
          </thead>
          <tbody>
            {uses.map((use) => (
              <tr key={`${use.jobId} ${use.stepId} ${use.at}`}>
                <td>{moment(use.at)}</td>
                <th scope="row">{use.serial ?? use.jobId}</th>
                <td>{stepName(use, wording)}</td>
                <td>{use.by.name}</td>
                <td>{use.quantity === null ? say('desk.none') : lotAmount(use.quantity, lot, wording)}</td>
                <td>
                  {use.serial !== null && (
                    <button
                      type="button"
                      className="action"
                      onClick={() => void showSerial(hands, use.serial ?? '')}
                    >
                      <span className="action-label">{say('stock.showReadings')}</span>
                    </button>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}
