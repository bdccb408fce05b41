import type { LocalizedText } from '../shared/sheet/localized-text.ts';
import type { FinalPullRule } from './profile/settings.ts';
import type { Pull } from './pull.ts';

/** The rules in words, for the screen and the record. */
export const finalPullSentences: Readonly<Record<FinalPullRule, LocalizedText>> = {
  last_complete: {
    en: 'The last complete pull counts. A pull without a known peak after it changes nothing.',
    de: 'Der letzte vollständige Zug zählt. Ein Zug ohne bekannte Spitze danach ändert nichts.',
  },
  first_complete: {
    en: 'The first complete pull counts; later pulls are kept and shown.',
    de: 'Der erste vollständige Zug zählt; spätere Züge werden aufbewahrt und gezeigt.',
  },
  greatest_complete: {
    en: 'The complete pull with the greatest peak counts, whichever its direction.',
    de: 'Der vollständige Zug mit der größten Spitze zählt, gleich in welcher Richtung.',
  },
};

/** The pull that counts by a rule; undefined while no pull is complete. */
export function findFinalPull<Taken extends Pick<Pull, 'peak'>>(
  pulls: readonly Taken[],
  rule: FinalPullRule,
): Taken | undefined {
  const complete = pulls.filter(({ peak }) => peak !== null);
  switch (rule) {
    case 'last_complete':
      return complete.at(-1);
    case 'first_complete':
      return complete[0];
    case 'greatest_complete':
      return complete.reduce<Taken | undefined>(
        (best, pull) => (best === undefined || sizeOf(pull) > sizeOf(best) ? pull : best),
        undefined,
      );
  }
}

function sizeOf({ peak }: Pick<Pull, 'peak'>): number {
  return Math.abs(peak?.value ?? 0);
}
