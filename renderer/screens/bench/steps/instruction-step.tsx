import type { StepOf } from '../../../../shared/sheet/step.ts';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { useSituation, useWording } from '../../../workbench.ts';

/** Something to read and to do, or to heed. */
export function InstructionStep({ step }: { readonly step: StepOf<'instruction' | 'caution'> }) {
  const { of } = useWording();
  const { job } = useSituation();
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.text)}</p>
      {step.kind === 'caution' && job !== null && <p className="deferral">{of(job.sheet.deferral)}</p>}
    </div>
  );
}
