import type { StepOf } from '../../../../shared/sheet/step.ts';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { useWording } from '../../../workbench.ts';

/** Something to write down in words. */
export function NoteStep({ step }: { readonly step: StepOf<'note'> }) {
  const { of, say } = useWording();
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.prompt)}</p>
      <EntryField testId="note" scan="no" label={say('field.note')} />
    </div>
  );
}
