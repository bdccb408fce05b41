import type { Hands } from '../../actions/action.ts';

/** Shows every reading of a serial on the tab of serials, from whatever screen. */
export async function showSerial(hands: Hands, serial: string): Promise<void> {
  const timeline = await hands.ask('timeline', { serial });
  if (timeline === null) return;
  hands.setAudit({ tab: 'serial', timeline: timeline.value, compared: null });
  hands.set({ screen: 'audit' });
}
