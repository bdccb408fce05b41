import type { StepOf } from '../../../../shared/sheet/step.ts';
import { EntryField } from '../../../parts/entry-field.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import type { Wording } from '../../../wording/wording.ts';
import { useWording } from '../../../workbench.ts';
import { LastAnswer } from './last-answer.tsx';

/** A number that a person reads off and types. */
export function NumericStep({ step }: { readonly step: StepOf<'numeric'> }) {
  const wording = useWording();
  return (
    <div className="step-text">
      <SheetPicture picture={step.picture} />
      <LastAnswer />
      <EntryField
        kind="number"
        testId="number"
        label={wording.of(step.label)}
        unit={step.unit}
        {...hintOf(step, wording)}
      />
    </div>
  );
}

function hintOf(step: StepOf<'numeric'>, { say, decimal }: Wording): { hint?: string } {
  const { lower, upper, unit } = step;
  const print = (value: number) => decimal(String(value));
  if (lower !== undefined && upper !== undefined) {
    return { hint: say('step.numeric.between', { lower: print(lower), upper: print(upper), unit }) };
  }
  if (lower !== undefined) return { hint: say('step.numeric.atLeast', { lower: print(lower), unit }) };
  if (upper !== undefined) return { hint: say('step.numeric.atMost', { upper: print(upper), unit }) };
  return {};
}
