import { ChoiceList } from '../../parts/choice-list.tsx';
import { useSituation, useWording } from '../../workbench.ts';

/** Which head a serial belongs to, before its job is opened. */
export function SheetChoice() {
  const { screen } = useSituation();
  const { say, day } = useWording();
  const lookedUp = screen.lookedUp;
  if (lookedUp === null) return null;
  const { serial, visits, sheets } = lookedUp;
  const lastVisit = visits
    .map(({ openedAt }) => openedAt)
    .sort()
    .at(-1);
  return (
    <section className="entry-page is-single">
      <h1>{say('sheets.title', { serial })}</h1>
      <p className="lead">
        {sheets.length === 0
          ? say('sheets.none')
          : lastVisit === undefined
            ? say('sheets.new', { serial })
            : say('sheets.known', { serial, count: visits.length, day: day(lastVisit) })}
      </p>
      {sheets.length > 0 && <ChoiceList label={say('sheets.list')} entry />}
    </section>
  );
}
