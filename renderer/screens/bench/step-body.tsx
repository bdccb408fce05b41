import type { Step } from '../../../shared/sheet/step.ts';
import { CheckStep } from './steps/check-step.tsx';
import { ConsumableStep } from './steps/consumable-step.tsx';
import { DispositionStep } from './steps/disposition-step.tsx';
import { InstructionStep } from './steps/instruction-step.tsx';
import { MassStep } from './steps/mass-step.tsx';
import { NoteStep } from './steps/note-step.tsx';
import { NumericStep } from './steps/numeric-step.tsx';
import { SignOffStep } from './steps/sign-off-step.tsx';
import { TorqueStep } from './steps/torque-step.tsx';

/** The body of a step, by its kind. */
export function StepBody({ step }: { readonly step: Step }) {
  switch (step.kind) {
    case 'caution':
    case 'instruction':
      return <InstructionStep step={step} />;
    case 'check':
      return <CheckStep step={step} />;
    case 'disposition':
      return <DispositionStep step={step} />;
    case 'consumable':
      return <ConsumableStep step={step} />;
    case 'mass':
      return <MassStep step={step} />;
    case 'torque':
      return <TorqueStep step={step} />;
    case 'numeric':
      return <NumericStep step={step} />;
    case 'note':
      return <NoteStep step={step} />;
    case 'signOff':
      return <SignOffStep step={step} />;
  }
}
