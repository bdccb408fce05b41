import type { StepOf } from '../../../../shared/sheet/step.ts';
import { ChoiceList } from '../../../parts/choice-list.tsx';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { chosen } from '../../../state/situation.ts';
import { useSituation, useWording } from '../../../workbench.ts';
import { LastAnswer } from './last-answer.tsx';

/** A question answered by yes or no. */
export function CheckStep({ step }: { readonly step: StepOf<'check'> }) {
  const situation = useSituation();
  const { of, say } = useWording();
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.question)}</p>
      <LastAnswer />
      <ChoiceList label={of(step.question)} entry />
      {chosen(situation)?.id === 'no' && <EntryField label={say('step.check.remark')} entry={false} />}
    </div>
  );
}
