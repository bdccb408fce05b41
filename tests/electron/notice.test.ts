import { expect, test } from 'vitest';
import { noticeAddress, noticeLanguage } from '../../electron/notice.ts';

function page(address: string): string {
  expect(address).toMatch(/^data:text\/html;charset=utf-8,/);
  return decodeURIComponent(address.slice(address.indexOf(',') + 1));
}

test('a restart is said in the language of the system', () => {
  expect(page(noticeAddress({ kind: 'restarting' }, noticeLanguage('en-GB')))).toContain('is restarting');
  expect(page(noticeAddress({ kind: 'restarting' }, noticeLanguage('de-AT')))).toContain('startet neu');
  expect(page(noticeAddress({ kind: 'starting' }, noticeLanguage('fr')))).toContain('is starting');
});

test('a key store that waits is said with its name and what to do', () => {
  const notice = { kind: 'key store', name: 'Secret Service' } as const;
  const english = page(noticeAddress(notice, 'en'));
  for (const part of ['role="alert"', 'Secret Service', 'Enter its password'])
    expect(english).toContain(part);
  expect(page(noticeAddress(notice, 'de'))).toContain('Kennwort im Fenster des Systems eingeben');
});

test('the reason of a failure is shown as text, whatever it holds', () => {
  const shown = page(
    noticeAddress({ kind: 'failing', reason: '<img src=x onerror="y">&#39;', nextTrySeconds: 5 }, 'en'),
  );
  expect(shown).not.toContain('<img');
  expect(shown).toContain('&#60;img');
  expect(shown).toContain('&#38;#39;');
  expect(shown).toContain('Next try in 5 s');
});

const failing = {
  kind: 'failing',
  reason: 'exit code 1: a station already works in it',
  nextTrySeconds: 5,
} as const;

test('a fault of data folder, disk or key is said in the language of the window, without the words of the log', () => {
  const held = { ...failing, fault: { code: 'held', values: {} } };
  expect(page(noticeAddress(held, 'de'))).toContain('In diesem Datenordner arbeitet schon eine Station.');
  expect(page(noticeAddress(held, 'de'))).not.toContain('exit code');
  expect(page(noticeAddress(held, 'en'))).toContain('Another station already works in this data folder.');
  const locked = { ...failing, fault: { code: 'key_locked', values: { store: 'Secret Service <b>' } } };
  expect(page(noticeAddress(locked, 'de'))).toContain('dieses Kontos (Secret Service &#60;b&#62;)');
  const newer = { ...failing, fault: { code: 'newer_schema', values: { schema: 9, known: 7 } } };
  expect(page(noticeAddress(newer, 'de'))).toContain('Schema 9; diese kennt 7');
});

test.each(['never_heard_of', 'toString', '__proto__'])(
  'the reason %s without words stays as it is',
  (code) => {
    const unknown = { ...failing, fault: { code, values: {} } };
    expect(page(noticeAddress(unknown, 'de'))).toContain(failing.reason);
  },
);

test('a notice runs no script and loads nothing', () => {
  const shown = page(noticeAddress({ kind: 'restarting' }, 'en'));
  expect(shown).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
  expect(shown).not.toMatch(/<script|src=|href=/);
});
