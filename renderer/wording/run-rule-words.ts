import type { MessageKey } from './english.ts';
import type { Wording } from './wording.ts';

const words: Readonly<Record<string, MessageKey>> = {
  '1 beyond 3 standard deviations': 'runRule.oneBeyond3',
  '2 of 3 beyond 2 standard deviations, same side': 'runRule.twoOfThreeBeyond2',
  '4 of 5 beyond 1 standard deviation, same side': 'runRule.fourOfFiveBeyond1',
  '8 in a row on one side': 'runRule.eightOnOneSide',
  '9 in a row on one side': 'runRule.nineOnOneSide',
  '6 steadily rising or falling': 'runRule.sixSteady',
  '14 alternating': 'runRule.fourteenAlternating',
  '15 within 1 standard deviation': 'runRule.fifteenWithin1',
  '8 with none within 1 standard deviation, both sides': 'runRule.eightNoneWithin1',
};

/** A run rule in words; as the station names it where this page has none. */
export function ruleWords(rule: string, { say }: Wording): string {
  const key = Object.hasOwn(words, rule) ? words[rule] : undefined;
  return key === undefined ? rule : say(key);
}
