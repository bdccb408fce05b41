import {
  type SetPoint,
  type Setting,
  setPointOf,
  setPointRequestSchema,
} from '../../../shared/calibration/set-point.ts';
import { deviationInWords } from '../../../shared/calibration/set-point-warning.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { badInput, type Command } from './command.ts';
import { readJsonDocument, readOnlyInput } from './json-documents.ts';

/** The set-point of a click wrench. */
export const setpointCommand: Command = {
  name: 'setpoint',
  summary: 'Set-point of a click wrench in its own unit and graduation; tests an "equivalent" setting',
  usage: '[FILE | -]',
  help: `
Reads one JSON object from FILE or standard input; only band and wrench must be there:

  {"band":{"target":23,"lower":21.85,"upper":24.15,"unit":"N.m"},
   "uncertainty":{"expanded":0.4,"k":2,"unit":"N.m"},
   "rule":{"kind":"guarded","factor":1},
   "wrench":{"unit":"lbf.ft","graduation":1,"minimum":5,"maximum":80},
   "lever":{"wrenchLength":300,"extension":50,"angleDegrees":0,"unit":"mm"},
   "equivalent":{"value":16,"unit":"lbf.ft"}}

band         torque at the ring; without target the middle is aimed at
uncertainty  of the torque at the ring; without it the tolerance band itself is the zone
rule         as for judge; guarded with factor 1 where only uncertainty is given
wrench       graduation in its own unit; minimum and maximum of its scale
lever        extension from the drive to the ring's axis, angle 0 in line: S = T·L/(L + E·cos α)
equivalent   a setting of this wrench that people take for the same

Prints the setting in words, or with --json: target, tolerance, acceptance, acceptanceOnWrench, unrounded,
rounded, equivalent, setPoint (nearest graduation inside the zone, or null), warnings [code, message].

Exit: 0 done, 1 the equivalent lies outside the zone or no graduation lies inside, 2 bad input.
`,
  options: {},
  async run(input) {
    const request = parseWith(setPointRequestSchema, readJsonDocument(await readOnlyInput(input)));
    if (!request.ok) throw badInput(request.error);
    const found = setPointOf(request.value);
    if (!found.ok) throw badInput(found.error);
    await input.print(input.json ? JSON.stringify(found.value) : inWords(found.value));
    const { equivalent, setPoint } = found.value;
    return setPoint === null || equivalent?.insideAcceptance === false ? 1 : 0;
  },
};

function inWords(found: SetPoint): string {
  const { target, unrounded, setPoint, equivalent, warnings } = found;
  return [
    `wanted at the ring  ${target.value} ${target.unit}`,
    `on the wrench       ${unrounded.text} ${unrounded.unit}`,
    `set                 ${setPoint === null ? 'no graduation inside the zone' : settingInWords(setPoint)}`,
    ...(equivalent === null ? [] : [`equivalent          ${settingInWords(equivalent)}`]),
    ...warnings.map(({ message }) => `warning: ${message}`),
  ].join('\n');
}

function settingInWords(setting: Setting): string {
  const where = setting.insideAcceptance
    ? 'inside the acceptance zone'
    : setting.insideTolerance
      ? 'inside the tolerance, outside the acceptance zone'
      : 'outside the tolerance';
  return `${setting.text} ${setting.unit} = ${setting.atRing.value.toFixed(4)} ${setting.atRing.unit} at the ring, ${deviationInWords(setting.deviationPercent)}, ${where}`;
}
