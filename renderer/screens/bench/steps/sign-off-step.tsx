import type { StepOf } from '../../../../shared/sheet/step.ts';
import { EntryField } from '../../../parts/entry-field.tsx';
import { useSituation, useWording } from '../../../workbench.ts';

/** A statement signed with the PIN. */
export function SignOffStep({ step }: { readonly step: StepOf<'signOff'> }) {
  const { of, say } = useWording();
  const { snapshot } = useSituation();
  return (
    <div className="step-text">
      <p className="step-words">{of(step.statement)}</p>
      <p className="quiet">
        {say('step.signOff.roles', { roles: step.roles.map((role) => say(`role.${role}`)).join(', ') })}
      </p>
      <EntryField
        kind="secret"
        testId="pin"
        label={say('step.signOff.pin', { name: snapshot?.signedIn?.name ?? '' })}
      />
    </div>
  );
}
