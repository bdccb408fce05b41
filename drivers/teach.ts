import { createDecoder } from './decode.ts';
import type { InstrumentProfile } from './profile.ts';

export type { ColumnRoles, Confirmation, Display, Lesson } from './teach/lesson.ts';
export { beginLesson, confirmDisplay } from './teach/lesson.ts';
export { buildProfile, type ProfileAbout } from './teach/proposal.ts';

/** How well each of several profiles reads a recording, the best first; those that read nothing are left out. */
export function rankProfiles(
  bytes: Uint8Array,
  profiles: Iterable<InstrumentProfile>,
): { readonly profile: InstrumentProfile; readonly accepted: number; readonly refused: number }[] {
  return [...profiles]
    .map((profile) => {
      const decoder = createDecoder(profile);
      const outcomes = [...decoder.push(bytes), ...decoder.end()];
      const accepted = outcomes.filter(({ kind }) => kind === 'indication').length;
      return { profile, accepted, refused: outcomes.length - accepted };
    })
    .filter(({ accepted }) => accepted > 0)
    .sort((a, b) => b.accepted - b.refused - (a.accepted - a.refused));
}
