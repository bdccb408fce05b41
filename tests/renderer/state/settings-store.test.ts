import { describe, expect, it } from 'vitest';
import { createSettingsStore, readSettings } from '../../../renderer/state/settings-store.ts';

function storage(kept: string | null) {
  let text = kept;
  return {
    getItem: () => text,
    setItem: (_: string, value: string) => {
      text = value;
    },
  };
}

describe('what a screen remembers about itself', () => {
  it('begins in the language of the computer', () => {
    expect(readSettings(storage(null), 'de-AT').language).toBe('de');
    expect(readSettings(storage(null), 'fr').language).toBe('en');
  });

  it.each(['not json', '[]', 'null', '{"theme":"purple","volume":99,"unitsShown":"furlongs"}'])(
    'survives damaged memory: %s',
    (kept) => {
      expect(readSettings(storage(kept), 'en')).toMatchObject({
        language: 'en',
        theme: 'system',
        unitsShown: 'both',
        volume: 0.6,
      });
    },
  );

  it('is kept when it changes', () => {
    const memory = storage(null);
    createSettingsStore(memory, 'en').setState({ theme: 'contrast', decimalSign: ',' });
    expect(readSettings(memory, 'en')).toMatchObject({ theme: 'contrast', decimalSign: ',' });
  });
});
