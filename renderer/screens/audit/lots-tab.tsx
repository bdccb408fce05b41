import { auditFilterSchema } from '../../../shared/audit/filter.ts';
import type { SiteLotView } from '../../../shared/audit/view.ts';
import { lotAmount } from '../../wording/lot-amount.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterPanel } from './filter-panel.tsx';
import { phaseText } from './phase-text.ts';
import { placeText } from './place-text.ts';
import { showSerial } from './show-serial.ts';

const allButLot = auditFilterSchema.keyof().exclude(['lotId']).options;

/** From a lot to every job at every bench of the site. */
export function LotsTab() {
  const { lotTrace } = useSituation().screen.audit;
  const { say } = useWording();
  const jobs = lotTrace?.lots.reduce((sum, one) => sum + one.jobs.length, 0) ?? 0;
  return (
    <>
      <FilterPanel without={allButLot} entry="lotId" />
      <div aria-live="polite" className="quiet" data-testid="lot-count">
        {lotTrace === null
          ? say('audit.lots.hint')
          : say(lotTrace.cut ? 'audit.lots.newest' : 'audit.lots.count', {
              lot: lotTrace.lotId,
              count: jobs,
            })}
      </div>
      {jobs > 0 && lotTrace !== null && (
        <>
          <Stocks lots={lotTrace.lots} />
          <Jobs lots={lotTrace.lots} />
        </>
      )}
    </>
  );
}

interface LotsProperties {
  readonly lots: readonly SiteLotView[];
}

/** What each bench has of it. */
function Stocks({ lots }: LotsProperties) {
  const wording = useWording();
  const { say, of, day, moment } = wording;
  return (
    <table data-testid="lot-stocks">
      <thead>
        <tr>
          <th scope="col">{say('audit.bench')}</th>
          <th scope="col">{say('stock.material')}</th>
          <th scope="col">{say('stock.received')}</th>
          <th scope="col">{say('stock.remaining')}</th>
          <th scope="col">{say('stock.expiry')}</th>
          <th scope="col">{say('stock.opened')}</th>
        </tr>
      </thead>
      <tbody>
        {lots.map(({ place, lot }) => (
          <tr key={`${place.stationId} ${place.branch}`}>
            <th scope="row">{placeText(place, wording)}</th>
            {lot === null ? (
              <td colSpan={5} className="quiet">
                {say('audit.lots.neverInStock')}
              </td>
            ) : (
              <>
                <td>
                  {of(lot.name)}
                  {lot.blocked !== null && (
                    <strong className="is-fail">
                      {' '}
                      {say('stock.blockedReason', { reason: lot.blocked })}
                    </strong>
                  )}
                </td>
                <td className="figures">{lotAmount(lot.received, lot, wording)}</td>
                <td className="figures">{lotAmount(lot.remaining, lot, wording)}</td>
                <td>{lot.expiry === null ? say('stock.noExpiry') : day(lot.expiry)}</td>
                <td>{lot.openedAt === null ? say('stock.notOpened') : moment(lot.openedAt)}</td>
              </>
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Every job that used it, the newest first. */
function Jobs({ lots }: LotsProperties) {
  const wording = useWording();
  const { say, moment } = wording;
  const { hands } = useWorkbench();
  const jobs = lots
    .flatMap(({ place, lot, jobs }) => jobs.map((job) => ({ ...job, place, lot })))
    .sort((a, b) => b.openedAt.localeCompare(a.openedAt));
  return (
    <table className="found-jobs" data-testid="lot-jobs">
      <thead>
        <tr>
          <th scope="col">{say('audit.filter.serial')}</th>
          <th scope="col">{say('audit.bench')}</th>
          <th scope="col">{say('audit.opened')}</th>
          <th scope="col">{say('audit.state')}</th>
          <th scope="col">{say('stock.quantity')}</th>
          <th scope="col">{say('audit.person')}</th>
        </tr>
      </thead>
      <tbody>
        {jobs.map(({ jobId, serial, openedAt, phase, uses, place, lot }) => (
          <tr key={`${place.stationId} ${place.branch} ${jobId}`}>
            <th scope="row">
              <button type="button" className="action" onClick={() => void showSerial(hands, serial)}>
                <span className="action-label">{serial}</span>
              </button>
            </th>
            <td>{placeText(place, wording)}</td>
            <td>{moment(openedAt)}</td>
            <td>{phaseText(phase ?? 'open', wording)}</td>
            <td className="figures">
              {uses.length === 0 && <span className="quiet">–</span>}
              {uses
                .map(({ quantity }) =>
                  quantity === null || lot === null ? say('desk.none') : lotAmount(quantity, lot, wording),
                )
                .join(', ')}
            </td>
            <td>{[...new Set(uses.map(({ person }) => person))].join(', ')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
