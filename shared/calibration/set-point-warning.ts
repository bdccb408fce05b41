import { noAcceptanceZone } from '../acceptance/zone.ts';
import type { Setting } from './set-point.ts';

export interface SetPointWarning {
  readonly code: 'no_acceptance_zone' | 'rounded_outside' | 'equivalent_outside' | 'no_graduation';
  readonly message: string;
}

/** `5.7 % low`, as people say it. */
export function deviationInWords(deviationPercent: number): string {
  const size = Math.abs(deviationPercent).toFixed(1);
  if (size === '0.0') return 'on the target';
  return `${size} % ${deviationPercent < 0 ? 'low' : 'high'}`;
}

/** Says where a setting leaves the zone, and what to set instead. */
export function setPointWarnings(found: {
  readonly zoneIsEmpty: boolean;
  readonly graduationText: string;
  readonly rounded: Setting;
  readonly equivalent: Setting | null;
  readonly setPoint: Setting | null;
}): SetPointWarning[] {
  const { rounded, equivalent, setPoint } = found;
  if (found.zoneIsEmpty) return [{ code: 'no_acceptance_zone', message: noAcceptanceZone }];
  const noGraduation = `no graduation of ${found.graduationText} within the wrench's range lies inside the acceptance zone; use another wrench`;
  const instead =
    setPoint === null
      ? noGraduation
      : `set ${setPoint.text} ${setPoint.unit} (${deviationInWords(setPoint.deviationPercent)}) instead`;
  const warnings: SetPointWarning[] = [];
  if (!rounded.insideAcceptance) {
    warnings.push({
      code: 'rounded_outside',
      message: `rounded to ${rounded.text} ${rounded.unit} it is ${outside(rounded)}; ${instead}`,
    });
  }
  if (equivalent !== null && !equivalent.insideAcceptance) {
    warnings.push({
      code: 'equivalent_outside',
      message: `${equivalent.text} ${equivalent.unit} is ${outside(equivalent)}; ${instead}`,
    });
  }
  return setPoint === null && warnings.length === 0
    ? [{ code: 'no_graduation', message: noGraduation }]
    : warnings;
}

function outside(setting: Setting): string {
  const zone = setting.insideTolerance ? 'the acceptance zone' : 'the tolerance band';
  return `${deviationInWords(setting.deviationPercent)}, outside ${zone}`;
}
