import { useRef } from 'react';
import type { FoundJobView } from '../../../shared/audit/view.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { stepName } from '../../wording/step-name.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterPanel } from './filter-panel.tsx';
import { phaseText } from './phase-text.ts';
import { placeText } from './place-text.ts';
import { showSerial } from './show-serial.ts';

/** Jobs by what is known of them. */
export function SearchTab() {
  const { jobs, before } = useSituation().screen.audit;
  const { say } = useWording();
  return (
    <>
      <FilterPanel />
      <div aria-live="polite" className="quiet" data-testid="found-count">
        {jobs === null
          ? say('audit.search.hint')
          : say(before === null ? 'audit.search.count' : 'audit.search.countSoFar', { count: jobs.length })}
      </div>
      {jobs !== null && jobs.length > 0 && <FoundJobs jobs={jobs} />}
    </>
  );
}

function FoundJobs({ jobs }: { readonly jobs: readonly FoundJobView[] }) {
  const wording = useWording();
  const { hands } = useWorkbench();
  const { say, moment } = wording;
  const isSite = useSituation().snapshot?.site !== undefined;
  const body = useRef<HTMLTableSectionElement>(null);
  const move = (by: 1 | -1) => {
    const buttons = [...(body.current?.querySelectorAll<HTMLElement>('button') ?? [])];
    const at = buttons.indexOf(document.activeElement as HTMLElement);
    buttons[Math.max(0, Math.min(buttons.length - 1, at + by))]?.focus();
  };
  return (
    <table className="found-jobs">
      <thead>
        <tr>
          <th scope="col">{say('audit.filter.serial')}</th>
          {isSite && <th scope="col">{say('audit.bench')}</th>}
          <th scope="col">{say('audit.opened')}</th>
          <th scope="col">{say('audit.filter.headId')}</th>
          <th scope="col">{say('audit.person')}</th>
          <th scope="col">{say('audit.state')}</th>
          <th scope="col">{say('audit.readings')}</th>
        </tr>
      </thead>
      <tbody
        ref={body}
        data-own-arrows=""
        onKeyDown={(event) => {
          if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
          event.preventDefault();
          move(event.key === 'ArrowDown' ? 1 : -1);
        }}
      >
        {jobs.map((job) => (
          <tr key={`${job.place?.stationId ?? ''} ${job.jobId}`}>
            <th scope="row">
              <button
                type="button"
                className="action"
                data-testid={`job-${job.jobId}`}
                onClick={() => void showSerial(hands, job.serial)}
              >
                <span className="action-label">{job.serial}</span>
              </button>
            </th>
            {isSite && <td>{job.place === undefined ? '' : placeText(job.place, wording)}</td>}
            <td>{moment(job.openedAt)}</td>
            <td>{job.headId}</td>
            <td>{job.person}</td>
            <td>{phaseText(job.phase, wording)}</td>
            <td>
              <FoundReadings readings={job.readings} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function FoundReadings({ readings }: Pick<FoundJobView, 'readings'>) {
  const wording = useWording();
  const { say, quantity } = wording;
  if (readings.length === 0) return <span className="quiet">–</span>;
  return (
    <ul className="found-readings">
      {readings.map(({ sequence, measured, ...step }) =>
        measured === null ? (
          <li key={sequence} className="is-fail">
            <VerdictIcon verdict="stale" /> {say('audit.altered', { step: stepName(step, wording) })}
          </li>
        ) : (
          <li key={sequence} className={`is-${measured.decision.replace(' ', '-')}`}>
            <VerdictIcon verdict={measured.decision} />
            <span className="figures">{quantity(shortened(measured.text), measured.unit)}</span>
            <span className="visually-hidden">{say(`verdict.${measured.decision}`)}</span>
          </li>
        ),
      )}
    </ul>
  );
}

/** Four decimals are enough for a list; the timeline shows all. */
function shortened(text: string): string {
  const value = Number(text);
  const decimals = text.split('.')[1]?.length ?? 0;
  return decimals > 4 && Number.isFinite(value) ? value.toFixed(4) : text;
}
