import { classFigures } from '../../../shared/calibration/class-figures.ts';
import type { RegisterEntry } from '../../../shared/instrument/instrument.ts';
import { useWording } from '../../workbench.ts';

/** What the class of an instrument says of it: for a scale the figures of its class, for a wrench where it is tested. */
export function ClassFacts({ entry }: { readonly entry: RegisterEntry }) {
  const { say, quantity } = useWording();
  const { unit } = entry.metrology;
  const figures = classFigures(entry.metrology, entry.accuracyClass);
  if (figures === null) return null;
  if (figures.kind === 'scale') {
    const { accuracyClass, refusal, intervals, minimumGrams, permissibleAtMaximumGrams } = figures;
    const text =
      refusal !== null || intervals === null || minimumGrams === null || permissibleAtMaximumGrams === null
        ? say('instruments.classNotMet', { class: accuracyClass })
        : say('instruments.classScale', {
            intervals,
            minimum: quantity(String(minimumGrams), 'g'),
            permissible: quantity(String(permissibleAtMaximumGrams), 'g'),
          });
    return (
      <div className="is-wide">
        <dt>{say('instruments.classFigures')}</dt>
        <dd>{text}</dd>
      </div>
    );
  }
  const { proposed, testPoints, isStepFineEnough } = figures;
  const sentences = [
    say('instruments.testPoints', {
      points: testPoints.map((point) => quantity(String(point), unit)).join(', '),
    }),
    ...(proposed === null
      ? []
      : [say('instruments.classWrench', { percent: proposed.percent, source: proposed.source })]),
    ...(isStepFineEnough === null
      ? []
      : [say(isStepFineEnough ? 'instruments.stepFine' : 'instruments.stepCoarse')]),
  ];
  return (
    <div className="is-wide">
      <dt>{say('instruments.classFigures')}</dt>
      <dd>{sentences.join(' ')}</dd>
    </div>
  );
}
