import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenRevision, chosenSheet } from '../../state/desk-state.ts';
import type { Verdict } from '../../state/verdict.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { RevisionDetail } from './revision-detail.tsx';
import { SheetEditor } from './sheet-editor.tsx';

const markOf = {
  draft: 'unsettled',
  submitted: 'conditional pass',
  approved: 'pass',
  withdrawn: 'fail',
} as const satisfies Record<string, Verdict>;

/** The service sheets with every revision: to read, compare, write, submit and approve. */
export function SheetsScreen() {
  const { screen } = useSituation();
  const { hands } = useWorkbench();
  const { say, of, day } = useWording();
  const { desk } = screen;
  const { sheets, sheetDraft } = desk;
  const chosen = chosenSheet(desk);
  const revision = chosenRevision(desk);
  if (sheetDraft?.isOpen === true) {
    return (
      <DeskPage title="screen.sheets" key="editor">
        <SheetEditor draft={sheetDraft} />
      </DeskPage>
    );
  }
  return (
    <DeskPage title="screen.sheets" key="sheets">
      {sheets === null && <p>{say('sheetsScreen.loading')}</p>}
      {sheets?.length === 0 && <p>{say('sheetsScreen.none')}</p>}
      {sheetDraft !== null && (
        <p className="with-icon is-conditional">
          <VerdictIcon verdict="conditional pass" />
          <span>
            {say('sheets.draftWaits', {
              sheet: String(sheetDraft.sheet.sheetId),
              revision: String(sheetDraft.sheet.revision),
            })}
          </span>
        </p>
      )}
      <div className="two-sides">
        <div className="desk-side">
          <DeskList
            label={say('sheets.list')}
            chosenId={chosen?.sheetId}
            onChoose={(sheetId) => hands.setDesk({ sheetId, revision: null })}
            items={(sheets ?? []).flatMap(({ sheetId, revisions, inForce }) => {
              const newest = revisions.at(-1);
              if (newest === undefined) return [];
              const { sheet, status } = newest;
              return [
                {
                  id: sheetId,
                  label: of(sheet.title),
                  detail: [
                    of(sheet.head.name),
                    inForce === null
                      ? say(`sheets.status.${status}`)
                      : `${say('sheets.revision', { revision: inForce })} ${say('sheets.inForce')}`,
                    newest.revision === inForce || inForce === null ? '' : say(`sheets.status.${status}`),
                  ]
                    .filter((part) => part !== '')
                    .join(' · '),
                  mark: <VerdictIcon verdict={inForce === null ? markOf[status] : 'pass'} />,
                },
              ];
            })}
          />
          {chosen !== undefined && (
            <>
              <h2>{say('sheets.revisions')}</h2>
              <DeskList
                label={say('sheets.revisions')}
                testId="revisions"
                entry={false}
                chosenId={String(revision?.revision)}
                onChoose={(id) => hands.setDesk({ revision: Number(id) })}
                items={chosen.revisions.toReversed().map((one) => ({
                  id: String(one.revision),
                  label: say('sheets.revision', { revision: one.revision }),
                  detail: `${say(`sheets.status.${one.status}`)}${
                    one.revision === chosen.inForce ? `, ${say('sheets.inForce')}` : ''
                  } · ${day(one.effectiveFrom)}`,
                  mark: <VerdictIcon verdict={markOf[one.status]} />,
                }))}
              />
            </>
          )}
        </div>
        {chosen !== undefined && revision !== undefined && (
          <RevisionDetail key={`${chosen.sheetId} ${revision.revision}`} sheet={chosen} revision={revision} />
        )}
      </div>
    </DeskPage>
  );
}
