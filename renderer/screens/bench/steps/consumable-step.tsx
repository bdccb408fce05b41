import type { StepOf } from '../../../../shared/sheet/step.ts';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { useWording } from '../../../workbench.ts';

/** Which lot of a material is used. */
export function ConsumableStep({ step }: { readonly step: StepOf<'consumable'> }) {
  const { of, say } = useWording();
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.name)}</p>
      <EntryField
        testId="lot"
        label={say('field.lot')}
        hint={say(step.lotRequired ? 'step.consumable.hint' : 'step.consumable.optionalLot')}
      />
    </div>
  );
}
