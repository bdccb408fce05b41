import { type Action, refusedHere } from './action.ts';
import { atAudit } from './audit-tab.ts';

/** Shows every captured reading of the serial typed; several that begin so are offered. */
export const findReadings: Action = {
  id: 'find-readings',
  key: 'Enter',
  place: 'main',
  label: () => 'action.findReadings',
  offered: (situation) => atAudit(situation, 'serial'),
  enabled: ({ screen }) => !screen.busy,
  async run({ draft, screen }, hands) {
    const text = draft.text.trim();
    const picked = draft.choice === null ? undefined : screen.audit.found[draft.choice]?.serial;
    if (text === '' && picked === undefined) {
      hands.say(refusedHere('refusal.serialMissing'));
      return;
    }
    const found = await hands.ask('findSerials', { text });
    if (found === null) return;
    const { serials } = found.value;
    const serial =
      picked ??
      serials.find((one) => one.serial === text)?.serial ??
      (serials.length === 1 ? serials[0]?.serial : undefined);
    if (serial === undefined) {
      hands.setAudit({ found: serials, timeline: null, compared: null });
      hands.set({ notice: null });
      if (serials.length === 0)
        hands.say({ tone: 'refused', key: 'refusal.serialUnknown', parameters: { serial: text } });
      return;
    }
    const timeline = await hands.ask('timeline', { serial });
    if (timeline !== null) hands.setAudit({ found: serials, timeline: timeline.value, compared: null });
  },
};
