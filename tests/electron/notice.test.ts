import { describe, expect, test } from 'vitest';
import { noticeAddress, noticeLanguage, noticeOfLoss } from '../../electron/notice.ts';

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

describe('a station that ended unasked', () => {
  const loss = {
    end: { how: 'exit code 1', lastWords: 'the data folder cannot be opened' },
    ...{ failures: 1, nextTryMilliseconds: 200, hasAnswered: false, upMilliseconds: 3000 },
  };
  const failed = {
    kind: 'failing',
    reason: 'exit code 1: the data folder cannot be opened',
    nextTrySeconds: 1,
  };

  test('is called a restart once or twice, soon after the start of the program or after it has worked', () => {
    expect(noticeOfLoss(loss)).toEqual({ kind: 'restarting' });
    expect(noticeOfLoss({ ...loss, failures: 2 })).toEqual({ kind: 'restarting' });
    expect(noticeOfLoss({ ...loss, hasAnswered: true, upMilliseconds: 60_000 })).toEqual({
      kind: 'restarting',
    });
  });

  test('is said with its reason at the third time', () => {
    expect(noticeOfLoss({ ...loss, failures: 3 })).toMatchObject(failed);
    expect(noticeOfLoss({ ...loss, failures: 3, hasAnswered: true })).toMatchObject(failed);
  });

  test('is no restart where it kept people waiting and then could not start: said with its reason at once', () => {
    expect(noticeOfLoss({ ...loss, upMilliseconds: 10_000 })).toMatchObject(failed);
  });
});

test('a notice runs no script and loads nothing', () => {
  const shown = page(noticeAddress({ kind: 'restarting' }, 'en'));
  expect(shown).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
  expect(shown).not.toMatch(/<script|src=|href=/);
});
