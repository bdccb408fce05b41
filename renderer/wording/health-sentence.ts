import type { HealthFindingView } from '../../shared/health-view.ts';
import type { Wording } from './wording.ts';

const mebibyte = 1024 ** 2;
const gibibyte = 1024 ** 3;

/** What a look found, in the language of the screen. Sizes count 1024 as `doctor` does. */
export function healthSentence(
  { code, values }: Pick<HealthFindingView, 'code' | 'values'>,
  { say, fixed, moment }: Wording,
): string {
  const { bytes, at, lastEventAt, ...rest } = values;
  const known = Object.entries(rest).filter((entry): entry is [string, string | number] => {
    return entry[1] !== undefined;
  });
  return say(`health.is.${code}`, {
    ...Object.fromEntries(known),
    ...(bytes === undefined ? {} : { size: sizeText(bytes, fixed) }),
    ...(at === undefined ? {} : { at: moment(at) }),
    ...(lastEventAt === undefined ? {} : { lastEventAt: moment(lastEventAt) }),
  });
}

function sizeText(bytes: number, fixed: Wording['fixed']): string {
  return bytes < gibibyte ? `${fixed(bytes / mebibyte, 1)} MB` : `${fixed(bytes / gibibyte, 1)} GB`;
}
