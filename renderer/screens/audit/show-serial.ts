import type { Hands } from '../../actions/action.ts';

/** Shows every reading of a serial on the tab of serials. */
export async function showSerial(hands: Hands, serial: string): Promise<void> {
  const timeline = await hands.ask('timeline', { serial });
  if (timeline !== null) hands.setAudit({ tab: 'serial', timeline: timeline.value, compared: null });
}
