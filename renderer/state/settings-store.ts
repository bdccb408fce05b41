import { z } from 'zod';
import { createStore } from 'zustand/vanilla';

export const themes = ['system', 'light', 'dark', 'contrast'] as const;

/** `sheet`: the unit of the sheet alone. What has to be set at the instrument is said in its unit always. */
export const unitsToShow = ['both', 'sheet'] as const;

/** Pixels per millimetre of a screen with 96 pixels to the inch (CSS Values 4, 6.2). */
export const assumedPixelsPerMillimetre = 96 / 25.4;

const settingsSchema = z.object({
  language: z.enum(['en', 'de']).catch('en'),
  /** Null: as the language writes it. */
  decimalSign: z.enum(['.', ',']).nullable().catch(null),
  /** Beside the value in the sheet's unit: what the instrument itself shows, in its own. */
  unitsShown: z.enum(unitsToShow).catch('both'),
  theme: z.enum(themes).catch('system'),
  /** 0 to 1. */
  volume: z.number().min(0).max(1).catch(0.6),
  muted: z.boolean().catch(false),
  /** What a scanner is set to send first, so that it is told from a person even where it is slow. Empty: nothing. */
  scanPrefix: z.string().max(8).catch(''),
  pixelsPerMillimetre: z.number().min(1.5).max(16).catch(assumedPixelsPerMillimetre),
});

/** What this screen remembers about itself; nothing of it is evidence. */
export type Settings = z.infer<typeof settingsSchema>;

const storageKey = 'bandwright-settings';

/** The settings kept in that storage; what is missing or damaged takes its default. */
export function readSettings(storage: Pick<Storage, 'getItem'>, preferredLanguage: string): Settings {
  const defaults = { language: preferredLanguage.toLowerCase().startsWith('de') ? 'de' : 'en' };
  try {
    const kept: unknown = JSON.parse(storage.getItem(storageKey) ?? '{}');
    return settingsSchema.parse({ ...defaults, ...(typeof kept === 'object' ? kept : {}) });
  } catch {
    return settingsSchema.parse(defaults);
  }
}

/** Settings that are written to the storage whenever they change. */
export function createSettingsStore(
  storage: Pick<Storage, 'getItem' | 'setItem'>,
  preferredLanguage: string,
) {
  const store = createStore<Settings>(() => readSettings(storage, preferredLanguage));
  store.subscribe((settings) => {
    try {
      storage.setItem(storageKey, JSON.stringify(settings));
    } catch {
      // A full or forbidden storage costs the memory of a choice, not the choice.
    }
  });
  return store;
}
export type SettingsStore = ReturnType<typeof createSettingsStore>;
