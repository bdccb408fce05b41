import type { Wording } from '../../wording/wording.ts';

/** The state of a job in words. */
export function phaseText(phase: string, { say }: Wording): string {
  switch (phase) {
    case 'open':
    case 'held':
    case 'released':
    case 'abandoned':
    case 'voided':
      return say(`audit.phase.${phase}`);
    default:
      return phase;
  }
}
