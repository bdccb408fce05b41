import { describe, expect, it } from 'vitest';
import { english } from '../../../renderer/wording/english.ts';
import { german } from '../../../renderer/wording/german.ts';
import { healthSentence } from '../../../renderer/wording/health-sentence.ts';
import { createWording, languages } from '../../../renderer/wording/wording.ts';
import { type HealthValues, healthCodes } from '../../../shared/health-view.ts';

/** One of everything that a sentence may be filled with. */
const values: Required<HealthValues> = {
  ...{ version: '1.2.3', schema: 4, host: 'Node 24', platform: 'linux x64', ports: '/dev/ttyUSB0' },
  ...{ mode: '755', bytes: 1_610_612_736, sqlite: '3.50.0', events: 9, sequence: 7, lastSequence: 8 },
  ...{ keyId: '0123456789abcdef', at: '2026-11-25T09:00:00.000+01:00', timeZone: 'Europe/Berlin' },
  ...{ lastEventAt: '2026-11-26T09:00:00.000+01:00', problems: 2, days: 40, everyHours: 24, hours: 99 },
  ...{ errors: 3, crashes: 1, library: 'libusb-1.0.so.0', package: 'libusb-1.0-0' },
};

describe('the sentence of a finding', () => {
  it.each(languages)('has nothing left to fill in, whatever was found (%s)', (language) => {
    const wording = createWording(language);
    for (const code of healthCodes) expect(healthSentence({ code, values }, wording)).not.toMatch(/[{}]/);
  });

  it('is another in German wherever there are words', () => {
    const equal = healthCodes.filter((code) => english[`health.is.${code}`] === german[`health.is.${code}`]);
    // Nothing but a name, a version and a time.
    expect(equal).toEqual(['clockGood']);
  });

  it('writes sizes and decimals as the language does', () => {
    const finding = { code: 'diskGood', values: { bytes: values.bytes } } as const;
    expect(healthSentence(finding, createWording('en'))).toBe('1.5 GB are free.');
    expect(healthSentence(finding, createWording('de'))).toBe('1,5 GB sind frei.');
  });
});
