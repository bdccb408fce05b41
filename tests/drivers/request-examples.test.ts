import { describe, expect, test } from 'vitest';
import { compileRequests } from '../../drivers/compiled-request.ts';
import { createDecoder } from '../../drivers/decode.ts';
import { bytesOfExample, type ProfileExample } from '../../drivers/profile/example.ts';
import { bytesOfHex } from '../../drivers/profile/words.ts';
import type { InstrumentProfile } from '../../drivers/profile.ts';
import { builtInProfileNames } from '../../drivers/profiles/index.ts';
import { closedPoll, followPoll, type PollEvent, wishOf } from '../../drivers/request-poll.ts';
import { profileNamed } from '../serial/profile-named.ts';

type Exchange = NonNullable<ProfileExample['exchange']>;

/**
 * Plays one exchange between station and instrument by a script of what is to be sent and what comes back.
 * What was sent against the script, or what is left over of it, is told.
 */
function playScript(profile: InstrumentProfile, script: Exchange, reply: Uint8Array) {
  const requests = compileRequests({ request: profile.request });
  const decoder = createDecoder(profile, { synchronised: true });
  const decoded: string[] = [];
  const faults: string[] = [];
  const left = [...script];
  let state = closedPoll;
  let now = 0;
  let ended: string | undefined;

  function apply(event: PollEvent): void {
    const step = followPoll(requests, state, event, now);
    state = step.state;
    ended = step.ended?.how ?? ended;
    const outcomes = decoder.push(step.forDecoder);
    for (const outcome of outcomes) {
      decoded.push(outcome.kind === 'indication' ? outcome.indication.text : outcome.rejection.refused);
    }
    if (outcomes.length > 0 && event.kind === 'bytes') apply({ kind: 'line' });
  }

  apply({ kind: 'opened' });
  if ((profile.request?.poll_ms ?? 0) === 0) apply({ kind: 'wish', exchange: 'reading' });
  while (ended === undefined) {
    const wish = wishOf(requests, state, now);
    if (wish.kind === 'rest') throw new Error('nothing to do and no end');
    if (wish.kind === 'wait') {
      now = wish.untilMilliseconds;
      apply({ kind: 'time' });
      continue;
    }
    const line = left.shift();
    const sent = Buffer.from(wish.bytes).toString('hex');
    const expected = line === undefined ? 'nothing' : bytesOfHex(line.sent_hex).toString('hex');
    if (sent !== expected) faults.push(`sent ${sent}, expected ${expected}`);
    apply({ kind: 'sent' });
    if (line?.reply_hex !== undefined) apply({ kind: 'bytes', bytes: bytesOfHex(line.reply_hex) });
    else if (left.length === 0) apply({ kind: 'bytes', bytes: reply });
  }
  if (ended !== 'replied') faults.push(`ended by ${ended}`);
  for (const { sent_hex } of left) faults.push(`left over: ${sent_hex}`);
  return { faults, decoded };
}

const scripted = builtInProfileNames.flatMap((name) => {
  const profile = profileNamed(name);
  return profile.examples.flatMap((example, number) =>
    profile.request === undefined || example.exchange === undefined
      ? []
      : [{ title: `${name}, example ${number + 1}`, profile, example, exchange: example.exchange }],
  );
});

describe('asking as the examples of the built-in profiles say', () => {
  test('there are such examples', () => expect(scripted.length).toBeGreaterThan(5));

  test.each(scripted)('$title: sends just that, in that order, and reads the answer', (script) => {
    const { profile, example, exchange } = script;
    const { faults, decoded } = playScript(profile, exchange, bytesOfExample(example));
    expect(faults).toEqual([]);
    expect(decoded).toEqual(
      example.expected.map((outcome) => ('refused' in outcome ? outcome.refused : outcome.text)),
    );
  });

  test('a script of which something is left over fails, and one that is too short, and another request', () => {
    const profile = profileNamed('scale-enquiry-dialogue');
    const [good] = scripted.filter((script) => script.profile === profile);
    if (good === undefined) throw new Error('no dialogue');
    const reply = bytesOfExample(good.example);
    expect(playScript(profile, good.exchange, reply).faults).toEqual([]);
    const longer = [...good.exchange, { sent_hex: '06' }];
    expect(playScript(profile, longer, reply).faults.join()).toMatch(/left over: 06/);
    expect(playScript(profile, good.exchange.slice(0, 1), reply).faults.join()).toMatch(/expected nothing/);
    const other = good.exchange.map((line) => ({ ...line, sent_hex: '15' }));
    expect(playScript(profile, other, reply).faults.join()).toMatch(/sent 05, expected 15/);
  });
});
