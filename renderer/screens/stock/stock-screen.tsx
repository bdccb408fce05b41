import type { LotView } from '../../../shared/management-view.ts';
import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenLot } from '../../state/desk-state.ts';
import { codeKey } from '../../wording/refusal-sentence.ts';
import type { Wording } from '../../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';

/** The stock by lot: what may be used and until when, and every job that a lot went into. */
export function StockScreen() {
  const { screen } = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say, of, day } = wording;
  const { lots } = screen.desk;
  const chosen = chosenLot(screen.desk);
  return (
    <DeskPage title="screen.stock">
      {lots === null && <p>{say('desk.loading')}</p>}
      {lots?.length === 0 && <p>{say('stock.none')}</p>}
      <div className="two-sides">
        <DeskList
          label={say('stock.list')}
          chosenId={chosen?.lotId}
          onChoose={(lotId) => hands.setDesk({ lotId })}
          items={(lots ?? []).map((lot) => ({
            id: lot.lotId,
            label: lot.lotId,
            detail: [
              of(lot.name),
              say('stock.left', { left: amount(lot.remaining, lot, wording) }),
              lot.usableUntil === null ? say('stock.noExpiry') : day(lot.usableUntil),
            ].join(' · '),
            mark: <VerdictIcon verdict={lot.refusal === null ? 'pass' : 'fail'} />,
          }))}
        />
        {chosen !== undefined && <Lot lot={chosen} />}
      </div>
    </DeskPage>
  );
}

function Lot({ lot }: { readonly lot: LotView }) {
  const { screen } = useSituation();
  const wording = useWording();
  const { say, of, day, moment } = wording;
  const { hands } = useWorkbench();
  const key = lot.refusal === null ? null : codeKey(lot.refusal.code);
  const why =
    lot.blocked !== null
      ? say('stock.blockedReason', { reason: lot.blocked })
      : lot.refusal === null
        ? ''
        : key === null
          ? lot.refusal.message
          : say(key);
  const showReadings = async (serial: string) => {
    const timeline = await hands.ask('timeline', { serial });
    if (timeline !== null)
      hands.set({ screen: 'audit', audit: { ...screen.audit, found: [], timeline: timeline.value } });
  };
  return (
    <article className="desk-detail" data-testid={`lot-${lot.lotId}`}>
      <header className="desk-detail-head">
        <h2>{lot.lotId}</h2>
        {lot.invented && <p className="tag is-simulated">{say('audit.simulated')}</p>}
      </header>
      <p className={lot.refusal === null ? 'desk-fitness is-pass' : 'desk-fitness is-fail'}>
        <VerdictIcon verdict={lot.refusal === null ? 'pass' : 'fail'} />
        <span>
          <strong>{say(lot.refusal === null ? 'stock.usable' : 'stock.unusable')}</strong> {why}
        </span>
      </p>
      <dl className="facts">
        <div>
          <dt>{say('stock.material')}</dt>
          <dd>
            {of(lot.name)} <span className="quiet">{lot.consumableId}</span>
          </dd>
        </div>
        <div>
          <dt>{say('stock.received')}</dt>
          <dd>{amount(lot.received, lot, wording)}</dd>
        </div>
        <div>
          <dt>{say('stock.remaining')}</dt>
          <dd>{amount(lot.remaining, lot, wording)}</dd>
        </div>
        <div>
          <dt>{say('stock.expiry')}</dt>
          <dd>{lot.usableUntil === null ? say('stock.noExpiry') : day(lot.usableUntil)}</dd>
        </div>
        <div>
          <dt>{say('stock.opened')}</dt>
          <dd>{lot.openedAt === null ? say('stock.notOpened') : moment(lot.openedAt)}</dd>
        </div>
        <div>
          <dt>{say('stock.afterOpening')}</dt>
          <dd>
            {lot.usableDaysAfterOpening === null
              ? say('desk.none')
              : say('stock.days', { count: lot.usableDaysAfterOpening })}
          </dd>
        </div>
      </dl>
      <h3>{say('stock.trace')}</h3>
      {lot.uses.length === 0 ? (
        <p>{say('stock.neverUsed')}</p>
      ) : (
        <table>
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
            {lot.uses.toReversed().map((use) => (
              <tr key={`${use.jobId} ${use.stepId} ${use.at}`}>
                <td>{moment(use.at)}</td>
                <th scope="row">{use.serial ?? use.jobId}</th>
                <td>{use.stepId}</td>
                <td>{use.by.name}</td>
                <td>{use.quantity === null ? say('desk.none') : amount(use.quantity, lot, wording)}</td>
                <td>
                  {use.serial !== null && (
                    <button
                      type="button"
                      className="action"
                      onClick={() => void showReadings(use.serial ?? '')}
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
    </article>
  );
}

function amount(value: number, { unit }: LotView, { say, quantity, decimal }: Wording): string {
  const text = String(Number(value.toFixed(3)));
  return unit === 'g' ? quantity(text, 'g') : say('stock.count', { count: decimal(text) });
}
