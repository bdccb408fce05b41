import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import manifest from '../../package.json' with { type: 'json' };
import { isAllowed, notAllowed, readLicences } from './licences.ts';

describe('licences of installed packages', () => {
  const packages = readLicences(resolve(import.meta.dirname, '..', '..'));

  it('are known and ask for their notice at most, or somebody looked at them', () => {
    expect(notAllowed(packages)).toEqual([]);
  });

  it('are read from every package that the product names', () => {
    const product = packages.filter(({ inProduct }) => inProduct).map(({ name }) => name);
    expect(product).toEqual(expect.arrayContaining(Object.keys(manifest.dependencies)));
    expect(packages.filter(({ inProduct }) => !inProduct).map(({ name }) => name)).toContain('vitest');
  });

  it('are read as SPDX writes them', () => {
    for (const good of [
      'MIT',
      '(MIT OR GPL-3.0-only)',
      'Apache-2.0 AND MIT',
      '(MIT AND BSD-3-Clause) OR X11',
    ]) {
      expect([good, isAllowed(good)]).toEqual([good, true]);
    }
    for (const bad of ['GPL-3.0-only', 'unknown', '', 'MIT AND LGPL-2.1-only', 'SEE LICENSE IN x', 'mit']) {
      expect([bad, isAllowed(bad)]).toEqual([bad, false]);
    }
  });

  it('that nobody has said yes to are named; what is fine for a tool is not fine in the product', () => {
    const made = (name: string, licence: string, inProduct: boolean) => ({
      ...{ name, licence, inProduct },
      version: '1.0.0',
    });
    const open = notAllowed([
      made('invented-copyleft', 'AGPL-3.0-only', false),
      made('invented-silent', 'unknown', true),
      made('axe-core', 'MPL-2.0', false),
      made('lightningcss-linux-x64-gnu', 'MPL-2.0', true),
      made('invented-fine', 'ISC', true),
    ]);
    expect(open.map(({ name }) => name)).toEqual([
      'invented-copyleft',
      'invented-silent',
      'lightningcss-linux-x64-gnu',
    ]);
  });
});
