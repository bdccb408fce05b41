import { useEffect } from 'react';
import { mayDo } from '../../../shared/people/permission.ts';
import type { PortView } from '../../../shared/teach-view.ts';
import { labelOf } from '../../parts/choice-list.tsx';
import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenPort } from '../../state/desk-state.ts';
import { hidLackText } from '../../state/hid-lack.ts';
import type { Wording } from '../../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { LessonPicture } from './lesson-picture.tsx';

const lookEveryMilliseconds = 600;

/** Ports of this computer, and teaching an instrument on one of them from its bytes and its display. */
export function TeachScreen() {
  const { screen, snapshot } = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  const { ports, teach, hidLack } = screen.desk;
  const chosen = chosenPort(screen.desk);
  const isListening = teach?.port != null;
  useEffect(() => {
    if (!isListening) return;
    const timer = setInterval(() => {
      void hands.call('teach', {}).then((answer) => {
        if (answer.ok) hands.setDesk({ teach: answer.value });
      });
    }, lookEveryMilliseconds);
    return () => clearInterval(timer);
  }, [hands, isListening]);
  const mayTeach = mayDo(snapshot?.signedIn?.roles ?? [], 'registerInstrument');
  return (
    <DeskPage title="screen.teach">
      {ports === null && <p>{say('desk.loading')}</p>}
      {ports?.length === 0 && <p>{say('teach.noPorts')}</p>}
      {hidLack !== null && <p data-testid="hid-lack">{labelOf(hidLackText(hidLack), wording)}</p>}
      <div className="two-sides">
        {ports !== null && ports.length > 0 && (
          <DeskList
            label={say('teach.ports')}
            chosenId={chosen?.portId}
            onChoose={(portId) => hands.setDesk({ portId })}
            items={ports.map((port) => ({
              id: port.portId,
              label: port.simulated ? say('teach.practice') : port.portId,
              detail: describe(port, wording),
              mark: <VerdictIcon verdict={port.heldBy === null ? 'pass' : 'fail'} />,
            }))}
          />
        )}
        {!mayTeach ? (
          <p>{say('code.not_allowed')}</p>
        ) : teach?.port == null ? (
          <div className="desk-detail">
            <p>{say('teach.idle')}</p>
            <ol className="teach-how">
              {(['listen', 'confirm', 'save', 'register'] as const).map((step) => (
                <li key={step}>{say(`teach.how.${step}`)}</li>
              ))}
            </ol>
          </div>
        ) : (
          <LessonPicture teach={teach} />
        )}
      </div>
    </DeskPage>
  );
}

function describe(
  { name, heldBy, knownBy, transport, identity, simulated }: PortView,
  { say }: Wording,
): string {
  const state =
    heldBy !== null
      ? say('teach.held', { name: heldBy })
      : say(transport === 'hid' ? 'teach.hid' : 'teach.free');
  const parts = simulated
    ? [state]
    : [name, identity.serialNumber ?? '', state, say(`teach.knownBy.${knownBy}`)];
  return parts.filter((part) => part !== '').join(' · ');
}
