import { useId } from 'react';
import { ruleSources } from '../../../shared/acceptance/rule.ts';
import { isAtPath, type Plain, valueAt, withValueAt } from '../../state/sheet-draft.ts';
import { useWording } from '../../workbench.ts';
import { NumberInput } from './number-input.tsx';
import { wrongMark } from './wrong-mark.ts';

const rules = {
  simple: { kind: 'simple', source: ruleSources.simple },
  guarded: { kind: 'guarded', factor: 1, source: ruleSources.guarded },
  conformance: { kind: 'conformance', probability: 0.95, source: ruleSources.conformance },
} as const;
const ruleKinds = ['simple', 'guarded', 'conformance'] as const;

interface RuleInputProperties {
  /** The step that the rule belongs to. */
  readonly of: Plain;
  /** As in `SheetFieldInput`. */
  readonly wrong: string | null;
  readonly onChange: (next: Plain) => void;
}

/** The kind of a decision rule and its one number. */
export function RuleInput({ of, wrong, onChange }: RuleInputProperties) {
  const { say } = useWording();
  const id = useId();
  const rule = valueAt(of, 'rule');
  const kind = ruleKinds.find((known) => known === valueAt(rule, 'kind')) ?? 'simple';
  const set = (next: unknown) => onChange(withValueAt(of, 'rule', next) as Plain);
  const part = kind === 'guarded' ? 'factor' : 'probability';
  return (
    <>
      <div className="field">
        <label htmlFor={id}>{say('sheetField.rule')}</label>
        <select
          id={id}
          data-testid="field-rule.kind"
          {...wrongMark(isAtPath('rule.kind', wrong))}
          value={kind}
          onChange={(event) => {
            const chosen = ruleKinds.find((known) => known === event.currentTarget.value);
            if (chosen !== undefined) set(rules[chosen]);
          }}
        >
          {ruleKinds.map((one) => (
            <option key={one} value={one}>
              {say(`sheetField.rule.${one}`)}
            </option>
          ))}
        </select>
      </div>
      {kind !== 'simple' && (
        <div className="field">
          <label htmlFor={`${id}-part`}>{say(`sheetField.${part}`)}</label>
          <NumberInput
            key={kind}
            id={`${id}-part`}
            testId={`field-rule.${part}`}
            value={valueAt(rule, part)}
            mark={wrongMark(isAtPath(`rule.${part}`, wrong))}
            onChange={(value) => set(withValueAt(rule, part, value))}
          />
        </div>
      )}
    </>
  );
}
