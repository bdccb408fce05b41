import { useEffect } from 'react';
import type { StepOf } from '../../../../shared/sheet/step.ts';
import { ChoiceList } from '../../../parts/choice-list.tsx';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { useSituation, useWording, useWorkbench } from '../../../workbench.ts';

/** Which lot of a material is used: scanned, typed, or chosen from the stock. */
export function ConsumableStep({ step }: { readonly step: StepOf<'consumable'> }) {
  const { of, say } = useWording();
  const { hands } = useWorkbench();
  const { choices } = useSituation();
  // biome-ignore lint/correctness/useExhaustiveDependencies: the stock is looked at anew for each step
  useEffect(() => {
    void hands.call('lots', {}).then((answer) => {
      if (answer.ok) hands.set({ lots: answer.value.lots });
    });
  }, [hands, step.stepId]);
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.name)}</p>
      <EntryField
        testId="lot"
        scan="yes"
        label={say('field.lot')}
        hint={say(step.lotRequired ? 'step.consumable.hint' : 'step.consumable.optionalLot')}
      />
      {choices.length > 0 && <ChoiceList label={say('step.consumable.lots')} />}
    </div>
  );
}
