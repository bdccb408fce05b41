import { useId, useState } from 'react';
import type { SheetRevisionsView } from '../../../shared/management-view.ts';
import { differencesBetween } from '../../../shared/sheet/difference.ts';
import { SheetPicture } from '../../parts/sheet-picture.tsx';
import { useWording } from '../../workbench.ts';
import { differenceWords, type SideWords } from './difference-words.ts';
import { SheetText } from './sheet-text.tsx';

type Revision = SheetRevisionsView['revisions'][number];

interface RevisionDetailProperties {
  readonly sheet: SheetRevisionsView;
  readonly revision: Revision;
}

/** One revision: who answers for it, what it changed against another one, and its text. */
export function RevisionDetail({ sheet, revision }: RevisionDetailProperties) {
  const { say, day, moment } = useWording();
  const id = useId();
  const others = sheet.revisions.filter((one) => one.revision !== revision.revision);
  const before = others.findLast((one) => one.revision < revision.revision);
  const [compared, setCompared] = useState(before?.revision ?? null);
  const base = others.find((one) => one.revision === compared);
  const { authors, approvedBy, approvedAt, status, reason } = revision;
  return (
    <article className="desk-detail" data-testid={`sheet-${sheet.sheetId}`} data-status={status}>
      <header className="desk-detail-head">
        <h2>{say('sheets.revision', { revision: revision.revision })}</h2>
        <p className="tag">{say(`sheets.status.${status}`)}</p>
        {sheet.inForce === revision.revision && <p className="tag is-in-use">{say('sheets.inForce')}</p>}
      </header>
      <dl className="facts">
        <div>
          <dt>{say('sheets.authors')}</dt>
          <dd>{authors.map(({ name }) => name).join(', ')}</dd>
        </div>
        <div>
          <dt>{say('sheets.approvedBy')}</dt>
          <dd>
            {approvedBy === null || approvedAt === null
              ? say('desk.none')
              : say('desk.by', { day: moment(approvedAt), name: approvedBy.name })}
          </dd>
        </div>
        <div>
          <dt>{say('sheets.effectiveFrom')}</dt>
          <dd>{day(revision.effectiveFrom)}</dd>
        </div>
        {reason !== null && (
          <div>
            <dt>{say('sheets.reason')}</dt>
            <dd>{reason}</dd>
          </div>
        )}
      </dl>
      {others.length > 0 && (
        <section>
          <div className="field is-short">
            <label htmlFor={id}>{say('sheets.compare')}</label>
            <select
              id={id}
              data-testid="compare"
              value={compared ?? ''}
              onChange={(event) =>
                setCompared(event.currentTarget.value === '' ? null : Number(event.currentTarget.value))
              }
            >
              <option value="">{say('sheets.noCompare')}</option>
              {others.map((one) => (
                <option key={one.revision} value={one.revision}>
                  {say('sheets.revision', { revision: one.revision })}
                </option>
              ))}
            </select>
          </div>
          {base !== undefined && <Differences base={base} shown={revision} />}
        </section>
      )}
      <SheetText sheet={revision.sheet} />
    </article>
  );
}

function Differences({ base, shown }: { readonly base: Revision; readonly shown: Revision }) {
  const wording = useWording();
  const { say } = wording;
  const differences = differenceWords(
    differencesBetween(base.sheet, shown.sheet),
    base.sheet,
    shown.sheet,
    wording,
  );
  if (differences.length === 0) return <p>{say('sheets.noDifferences')}</p>;
  return (
    <table className="differences" data-testid="differences">
      <caption>{say('sheets.differences', { revision: base.revision })}</caption>
      <thead>
        <tr>
          <th scope="col">{say('sheets.place')}</th>
          <th scope="col">{say('sheets.before', { revision: base.revision })}</th>
          <th scope="col">{say('sheets.before', { revision: shown.revision })}</th>
        </tr>
      </thead>
      <tbody>
        {differences.map(({ path, step, field, before, after }) => (
          <tr key={path}>
            <th scope="row">
              {step !== null && <span className="quiet">{step}</span>} {field}
            </th>
            <td>
              <Side words={before} side="is-taken" />
            </td>
            <td>
              <Side words={after} side="is-added" />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** One side of a difference. A plus or minus before it would be taken for the sign of a number: the columns tell. */
function Side({ words, side }: { readonly words: SideWords; readonly side: 'is-taken' | 'is-added' }) {
  const { say } = useWording();
  if (words === null) return <span className="quiet">{say('desk.none')}</span>;
  if ('base64' in words) return <SheetPicture picture={words} />;
  return <span className={side}>{words.join('\n')}</span>;
}
