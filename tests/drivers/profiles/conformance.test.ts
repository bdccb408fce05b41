import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { bytesOfExample, type ProfileExample } from '../../../drivers/profile/example.ts';
import { type InstrumentProfile, measurandOf, readProfile } from '../../../drivers/profile.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { rejectionReasons } from '../../../shared/indication.ts';
import { quantityOf } from '../../../shared/quantity/unit.ts';

const folder = new URL('../../../drivers/profiles/', import.meta.url);
const profiles = builtInProfileNames.map((name) => findBuiltInProfile(name)!);

function decodeExample(profile: InstrumentProfile, example: ProfileExample) {
  const decoder = createDecoder(profile, { synchronised: true });
  return [...decoder.push(bytesOfExample(example)), ...decoder.end()].map((outcome) =>
    outcome.kind === 'indication' ? outcome.indication : { refused: outcome.rejection.refused },
  );
}

test('every profile file is in the catalogue under its own name', () => {
  const files = readdirSync(folder).filter((file) => file.endsWith('.json'));
  expect(files.map((file) => file.replace('.json', '')).sort()).toEqual([...builtInProfileNames].sort());
  expect(findBuiltInProfile('constructor')).toBeUndefined();
});

test('every line shape of the notes has its profile: A1 to A26 and T1 to T15', () => {
  const covered = new Set(profiles.map(({ source }) => /[AT]\d+/.exec(source ?? '')?.[0]));
  const shapes = [
    ...Array.from({ length: 26 }, (_, index) => `A${index + 1}`),
    ...Array.from({ length: 15 }, (_, index) => `T${index + 1}`),
  ];
  expect(shapes.filter((shape) => !covered.has(shape))).toEqual([]);
});

describe.each(profiles.map((profile) => ({ name: profile.name ?? '', profile })))(
  '$name',
  ({ name, profile }) => {
    test('passes every check that a profile from elsewhere must pass', () => {
      const file = JSON.parse(readFileSync(new URL(`${name}.json`, folder), 'utf8'));
      expect(readProfile(file)).toEqual({ ok: true, value: profile });
    });

    test('is complete: name, revision, title in both languages, note, kind, examples', () => {
      expect(profile).toMatchObject({ name, revision: expect.any(Number), source: expect.any(String) });
      expect(profile.title?.en).not.toBe(profile.title?.de);
      expect(profile.note).toMatch(/\.$/);
      expect(profile.kind).toBe(measurandOf(profile));
      expect(profile.examples.length).toBeGreaterThan(0);
      if (profile.hid === undefined)
        expect(profile).toMatchObject({ serial: { baud: expect.any(Number) }, decimal: /[.,]/ });
    });

    test('read, written and read again it is the same', () => {
      expect(readProfile(JSON.parse(JSON.stringify(profile)))).toEqual({ ok: true, value: profile });
      const file: unknown = JSON.parse(readFileSync(new URL(`${name}.json`, folder), 'utf8'));
      expect(readProfile(file)).toEqual({ ok: true, value: profile });
    });

    test('allows only units of what it measures, each with a range where it is a unit of the line', () => {
      const units = [
        ...Object.values(profile.units),
        ...(profile.unit_fixed === undefined ? [] : [profile.unit_fixed]),
      ];
      expect(units.length).toBeGreaterThan(0);
      for (const unit of units) expect(quantityOf(unit)).toBe(profile.kind);
      for (const unit of Object.keys(profile.range)) expect(units).toContain(unit);
    });

    test.each(
      profile.examples.map((example) => [bytesOfExample(example).toString('latin1'), example] as const),
    )('reads %j as its example says', (_, example) => {
      const decoded = decodeExample(profile, example);
      expect(decoded).toHaveLength(example.expected.length);
      expect(decoded).toMatchObject(example.expected);
    });

    test('has an example that is read, one out of its range and one in a foreign unit', () => {
      const refused = profile.examples.flatMap(({ expected }) =>
        expected.flatMap((one) => ('refused' in one ? one.refused : [])),
      );
      expect(profile.examples.some(({ expected }) => expected.some((one) => 'text' in one))).toBe(true);
      expect(refused).toContain('out_of_range');
      if (profile.unit_fixed === undefined) expect(refused).toContain('unit_not_allowed');
    });

    test('says how it is asked, with an exchange as proof, if it does not send by itself', () => {
      const isAsked = profile.request !== undefined;
      expect(profile.examples.some(({ exchange }) => exchange !== undefined)).toBe(isAsked);
    });

    test('tells stable from unstable, or names a steadiness rule with the division; a wrench tells peaks or names a pull rule', () => {
      const states = new Set(
        profile.examples.flatMap((example) =>
          decodeExample(profile, example).flatMap((one) => ('state' in one ? one.state : [])),
        ),
      );
      if (states.has('unstable') && !states.has('stable')) expect(profile.steadiness?.division).toBeDefined();
      if (states.has('track')) expect(Object.keys(profile.pull?.start ?? {})).not.toEqual([]);
      if (states.has('stable')) expect(profile.steadiness).toBeUndefined();
    });

    test('refuses under the station’s own words, with at most one word of its own', () => {
      const own = profile.refuse_lines
        .map(({ reason }) => reason)
        .filter((reason) => !rejectionReasons.some((known) => known === reason));
      expect(own.length).toBeLessThanOrEqual(1);
    });
  },
);
