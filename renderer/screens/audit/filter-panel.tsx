import { useEffect, useId } from 'react';
import { decisions } from '../../../shared/acceptance/judgement.ts';
import type { AuditFilter } from '../../../shared/audit/filter.ts';
import { DayField } from '../../parts/day-field.tsx';
import { withField } from '../../state/audit-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';

type Field = keyof AuditFilter;

interface Option {
  readonly value: string;
  readonly label: string;
}

/** The filter that search, charts and export share, with the views that this person keeps of it. */
export function FilterPanel({
  without = [],
  entry = 'serial',
  children,
}: {
  readonly without?: readonly Field[];
  /** The field where the focus belongs. */
  readonly entry?: Field;
  /** Further fields, before those of the filter. */
  readonly children?: React.ReactNode;
}) {
  const { screen, connection } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const { filter, choices } = screen.audit;
  useEffect(() => {
    if (connection !== 'connected') return;
    void (async () => {
      const [asked, kept] = await Promise.all([
        hands.call('searchChoices', {}),
        hands.call('savedViews', {}),
      ]);
      if (asked.ok) hands.setAudit({ choices: asked.value });
      if (kept.ok) hands.setAudit({ views: kept.value.views });
    })();
  }, [hands, connection]);
  const change = (field: Field, value: string) =>
    hands.setAudit({ filter: withField(filter, field, value), viewName: null });
  const text = (field: Field, options: readonly string[] = []) =>
    without.includes(field) ? null : (
      <FilterText
        key={field}
        name={field}
        label={say(`audit.filter.${field}`)}
        value={filter[field] ?? ''}
        options={options}
        entry={field === entry}
        onChange={(value) => change(field, value)}
      />
    );
  const select = (field: Field, options: readonly Option[]) =>
    without.includes(field) ? null : (
      <FilterSelect
        key={field}
        name={field}
        label={say(`audit.filter.${field}`)}
        value={filter[field] ?? ''}
        options={options}
        onChange={(value) => change(field, value)}
      />
    );
  return (
    <div className="filter">
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be a grid in every Chromium that this runs in */}
      <div className="filter-fields" role="group" aria-label={say('audit.filter')}>
        {children}
        {text('serial')}
        {select(
          'headId',
          (choices?.heads ?? []).map((value) => ({ value, label: value })),
        )}
        {select(
          'personId',
          (choices?.people ?? []).map(({ personId, name }) => ({ value: personId, label: name })),
        )}
        {select(
          'instrumentId',
          (choices?.instruments ?? []).map(({ instrumentId, name }) => ({
            value: instrumentId,
            label: name,
          })),
        )}
        {text('lotId', choices?.lots)}
        {text(
          'certificate',
          choices?.certificates.map(({ number }) => number),
        )}
        {select(
          'decision',
          decisions.map((value) => ({ value, label: say(`verdict.${value}`) })),
        )}
        {select(
          'quantity',
          (['mass', 'torque'] as const).map((value) => ({ value, label: say(`audit.quantity.${value}`) })),
        )}
        {(['from', 'until'] as const)
          .filter((field) => !without.includes(field))
          .map((field) => (
            <DayField
              key={field}
              label={say(`audit.filter.${field}`)}
              testId={`filter-${field}`}
              value={filter[field] ?? ''}
              onChange={(value) => change(field, value)}
            />
          ))}
      </div>
      <SavedViews />
    </div>
  );
}

function SavedViews() {
  const { screen } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const { views, viewName } = screen.audit;
  if (views === null || views.length === 0) return null;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a row of buttons, not of fields
    <div className="views" role="group" aria-label={say('audit.views')}>
      <span className="quiet">{say('audit.views')}</span>
      {views.map(({ name, filter }) => (
        <button
          key={name}
          type="button"
          className="action"
          aria-pressed={name === viewName}
          data-testid={`view-${name}`}
          onClick={() => hands.setAudit({ filter, viewName: name })}
        >
          <span className="action-label">{name}</span>
        </button>
      ))}
    </div>
  );
}

interface FilterFieldProperties {
  readonly name: Field;
  readonly label: string;
  readonly value: string;
  onChange(value: string): void;
}

function FilterText({
  name,
  label,
  value,
  options,
  entry,
  onChange,
}: FilterFieldProperties & { readonly options: readonly string[]; readonly entry: boolean }) {
  const id = useId();
  return (
    <label className="filter-field">
      <span>{label}</span>
      <input
        data-testid={`filter-${name}`}
        value={value}
        maxLength={120}
        autoComplete="off"
        spellCheck={false}
        list={options.length > 0 ? id : undefined}
        onChange={(event) => onChange(event.currentTarget.value)}
        data-scan="yes"
        {...(entry ? { 'data-entry': '' } : {})}
      />
      {options.length > 0 && (
        <datalist id={id}>
          {options.map((option) => (
            <option key={option} value={option} />
          ))}
        </datalist>
      )}
    </label>
  );
}

/** A list of the platform; Enter goes on with the screen instead of opening it, since the arrows choose already. */
export function FilterSelect({
  name,
  label,
  value,
  options,
  empty = true,
  none,
  entry = false,
  onChange,
}: Omit<FilterFieldProperties, 'name'> & {
  readonly name: string;
  readonly options: readonly Option[];
  /** May nothing be chosen? */
  readonly empty?: boolean;
  /** What nothing is called; left out: any. */
  readonly none?: string;
  /** This list is where the focus belongs. */
  readonly entry?: boolean;
}) {
  const { say } = useWording();
  const { performMain } = useMainAction();
  return (
    <label className="filter-field">
      <span>{label}</span>
      <select
        data-testid={`filter-${name}`}
        {...(entry ? { 'data-entry': '' } : {})}
        value={value}
        onChange={(event) => onChange(event.currentTarget.value)}
        onKeyDown={(event) => {
          if (event.key !== 'Enter') return;
          event.preventDefault();
          performMain();
        }}
      >
        {empty && <option value="">{none ?? say('audit.filter.any')}</option>}
        {/* What a saved view asks for stays to be seen, though it is no longer there to choose. */}
        {value !== '' && !options.some((option) => option.value === value) && (
          <option value={value}>{value}</option>
        )}
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </label>
  );
}

function useMainAction(): { performMain(): void } {
  const situation = useSituation();
  const { actions, perform } = useWorkbench();
  return {
    performMain() {
      const main = actions.find((action) => action.place === 'main' && action.offered(situation));
      if (main !== undefined) perform(main);
    },
  };
}
