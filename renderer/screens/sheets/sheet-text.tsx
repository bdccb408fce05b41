import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { Step } from '../../../shared/sheet/step.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { SheetPicture } from '../../parts/sheet-picture.tsx';
import { ruleText } from '../../parts/why-dialog.tsx';
import { unitName } from '../../wording/unit-name.ts';
import type { Wording } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

/** A sheet to read: deferral, steps, cautions, bands and rules. */
export function SheetText({ sheet }: { readonly sheet: ServiceSheet }) {
  const wording = useWording();
  const { say, of, day } = wording;
  return (
    <article className="sheet-text">
      <h3>{of(sheet.title)}</h3>
      <p className="quiet">
        {sheet.sheetId} ·{' '}
        {say('sheetsScreen.revision', { revision: sheet.revision, day: day(sheet.effectiveFrom) })}
      </p>
      {sheet.invented && <p className="tag is-simulated">{say('sheetsScreen.invented')}</p>}
      <p className="deferral">{of(sheet.deferral)}</p>
      <h4>{say('sheetsScreen.steps')}</h4>
      <ol className="sheet-steps">
        {sheet.steps.map((step) => (
          <li key={step.stepId}>
            <h5>{of(step.title)}</h5>
            <p className="quiet">
              {say(`step.${step.kind}`)} ·{' '}
              {say(step.mandatory ? 'sheetsScreen.mandatory' : 'sheetsScreen.optional')}
            </p>
            <Cautions cautions={step.cautions} />
            {stepWords(step, wording).map((words) => (
              <p key={words}>{words}</p>
            ))}
            <SheetPicture picture={step.picture} />
          </li>
        ))}
      </ol>
    </article>
  );
}

/** What a step says and asks for, in a few lines. */
export function stepWords(step: Step, wording: Wording): readonly string[] {
  const { say, of, decimal } = wording;
  switch (step.kind) {
    case 'caution':
    case 'instruction':
      return [of(step.text)];
    case 'check':
      return [of(step.question)];
    case 'disposition':
      return [
        `${of(step.part)}: ${step.choices.map((choice) => say(`step.disposition.${choice}`)).join(', ')}`,
      ];
    case 'consumable':
      return [of(step.name)];
    case 'numeric':
      return [
        `${of(step.label)}: ${decimal(String(step.lower ?? '−∞'))} … ${decimal(String(step.upper ?? '∞'))} ${step.unit}`,
      ];
    case 'note':
      return [of(step.prompt)];
    case 'signOff':
      return [of(step.statement), step.roles.map((role) => say(`role.${role}`)).join(', ')];
    case 'mass':
    case 'torque': {
      const { lower, target, upper, unit } = step.band;
      const print = (value: number | undefined, none: string) =>
        value === undefined ? none : decimal(String(value));
      return [
        ...(step.text === undefined ? [] : [of(step.text)]),
        `${say('sheetsScreen.band')}: ${print(lower, '−∞')} … ${print(upper, '∞')} ${unitName(unit)}${
          target === undefined
            ? ''
            : `, ${say('measure.target', { quantity: `${print(target, '')} ${unitName(unit)}` })}`
        }; ${say('sheetsScreen.attempts', { count: step.maximumAttempts })}`,
        ruleText(step.rule, wording),
      ];
    }
  }
}
