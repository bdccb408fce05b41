import type { StepOf } from '../../../../shared/sheet/step.ts';
import { ChoiceList } from '../../../parts/choice-list.tsx';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import { chosen } from '../../../state/situation.ts';
import { useSituation, useWording } from '../../../workbench.ts';

/** What becomes of a part: used again, replaced, scrapped. */
export function DispositionStep({ step }: { readonly step: StepOf<'disposition'> }) {
  const situation = useSituation();
  const { of, say } = useWording();
  const choice = chosen(situation)?.id;
  const needsReason = step.reasonRequiredFor.some((one) => one === choice);
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <p className="step-words">{of(step.part)}</p>
      <ChoiceList label={of(step.part)} entry />
      <div className="step-fields">
        {choice !== undefined && (
          <EntryField
            label={say(needsReason ? 'step.disposition.reasonNeeded' : 'step.disposition.reason')}
            entry={false}
            testId="reason"
          />
        )}
        {choice === 'replace' && (
          <EntryField
            label={say('field.replacement')}
            part="second"
            entry={false}
            scan="yes"
            testId="replacement"
          />
        )}
      </div>
    </div>
  );
}
