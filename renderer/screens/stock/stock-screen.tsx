import type { LotView } from '../../../shared/management-view.ts';
import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenLot } from '../../state/desk-state.ts';
import { lotAmount } from '../../wording/lot-amount.ts';
import { codeKey } from '../../wording/refusal-sentence.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { LotUses } from './lot-uses.tsx';

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
              say('stock.left', { left: lotAmount(lot.remaining, lot, wording) }),
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
  const wording = useWording();
  const { say, of, day, moment } = wording;
  const key = lot.refusal === null ? null : codeKey(lot.refusal.code);
  const why =
    lot.blocked !== null
      ? say('stock.blockedReason', { reason: lot.blocked })
      : lot.refusal === null
        ? ''
        : key === null
          ? lot.refusal.message
          : say(key);
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
          <dd>{lotAmount(lot.received, lot, wording)}</dd>
        </div>
        <div>
          <dt>{say('stock.remaining')}</dt>
          <dd>{lotAmount(lot.remaining, lot, wording)}</dd>
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
      <LotUses lot={lot} />
    </article>
  );
}
