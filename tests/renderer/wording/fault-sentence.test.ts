import { expect, it } from 'vitest';
import { faultSentence } from '../../../renderer/wording/refusal-sentence.ts';
import { createWording } from '../../../renderer/wording/wording.ts';

const said = { message: 'another program holds the database (SQLITE_BUSY)' };

it.each(['busy', 'read_only', 'disk_full', 'disk_low', 'disk_error', 'cannot_open', 'head_lags'])(
  'the fault %s is said in the language of the screen, not in that of the log',
  (code) => {
    const [english, german] = (['en', 'de'] as const).map((language) =>
      faultSentence({ code, ...said }, createWording(language, null)),
    );
    expect(english).not.toContain(said.message);
    expect(german).not.toContain(said.message);
    expect(german).not.toBe(english);
  },
);

it('a database that is read-only is no desk that may only read', () => {
  const wording = createWording('en', null);
  expect(faultSentence({ code: 'read_only', ...said }, wording)).not.toBe(wording.say('code.read_only'));
});

it('a fault without words of its own keeps those of the station', () => {
  const sentence = faultSentence({ code: 'never_heard_of', ...said }, createWording('en', null));
  expect(sentence).toContain(said.message);
});
