import { useEffect } from 'react';
import { focusEntry } from '../../key-handling.ts';
import { useSituation } from '../../workbench.ts';
import { FirstRun } from '../first-run/first-run.tsx';
import { JobEnd } from './job-end.tsx';
import { SerialEntry } from './serial-entry.tsx';
import { SheetChoice } from './sheet-choice.tsx';
import { SignIn } from './sign-in.tsx';
import { SimulatorPanel } from './simulator-panel.tsx';
import { StepInHand } from './step-in-hand.tsx';
import { StepList } from './step-list.tsx';

/** The bench: who works, which serial, then one step after another. */
export function BenchScreen() {
  const situation = useSituation();
  const { phase, draft } = situation;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the focus follows the moment, not its content
  useEffect(() => {
    if (document.querySelector('dialog[open]') === null) focusEntry();
  }, [draft.moment, situation.screen.dialog === null]);
  switch (phase) {
    case 'unknown':
      return null;
    case 'first run':
      return <FirstRun />;
    case 'signed out':
      return <SignIn />;
    case 'start':
      return <SerialEntry />;
    case 'sheets':
      return <SheetChoice />;
    default:
      return (
        <div className="job">
          <aside className="job-side">
            <StepList />
            <SimulatorPanel />
          </aside>
          {phase === 'step' ? <StepInHand /> : <JobEnd />}
        </div>
      );
  }
}
