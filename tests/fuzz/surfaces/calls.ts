import fc from 'fast-check';
import { callParameters } from '../../../shared/contract.ts';
import { jobCommands } from '../../shared/people/job-commands.ts';
import { managementCommands } from '../../shared/people/management-commands.ts';
import { TestServer, type TestSocket } from '../../station/serve/test-server.ts';
import { demoPins } from '../../station/test-station.ts';
import { hostileTexts, hostileValue, spoiled, spoiledText } from '../mutation.ts';
import { isRefusal } from '../refusal.ts';
import type { Surface } from '../surface.ts';

/** Calls as our own page makes them. */
const calls: readonly { readonly call: string; readonly parameters: unknown }[] = [
  { call: 'signIn', parameters: { personId: 'cedar', pin: demoPins.cedar } },
  { call: 'lookUpSerial', parameters: { serial: 'SLT-1001' } },
  { call: 'takeInHand', parameters: { jobId: null } },
  { call: 'assignInstrument', parameters: { instrumentId: 'scale-1' } },
  { call: 'adjustInstrument', parameters: { instrumentId: 'scale-1', action: 'tare' } },
  { call: 'simulate', parameters: { instrumentId: 'scale-1', action: 'dish on' } },
  { call: 'timeline', parameters: { serial: 'SLT-1001' } },
  { call: 'findSerials', parameters: { text: 'SLT' } },
  { call: 'document', parameters: { jobId: 'job-1', kind: 'record' } },
  ...Object.values(jobCommands).map((command) => ({ call: 'command', parameters: { command } })),
  ...Object.values(managementCommands).map((command) => ({
    call: 'manage',
    parameters: { command, pin: demoPins.cedar },
  })),
];

const openedSerial = fc.nat(30).map((number) => ({
  call: 'command',
  parameters: { command: { kind: 'openJob', serial: `FUZZ-${number}`, headId: 'head-slate' } },
}));
const anyCall = fc.record({
  call: fc.oneof(fc.constantFrom(...Object.keys(callParameters)), fc.constantFrom(...hostileTexts)),
  parameters: hostileValue,
});

/** Calls of a page that is broken or hostile, by people of every role. */
export const callSurface: Surface = {
  name: 'calls over the WebSocket',
  holds: 'answered or refused with a sentence; no mistake of the station, it goes on',
  async open() {
    const server = await new TestServer().start();
    const cookie = await server.enter();
    let screen = await server.screen(cookie);
    const people = ['amber', 'cedar', 'flint', 'quartz', null] as const;
    const call = fc.oneof(
      { weight: 5, arbitrary: spoiled(calls) as fc.Arbitrary<{ call?: unknown; parameters?: unknown }> },
      { weight: 1, arbitrary: openedSerial },
      { weight: 2, arbitrary: anyCall },
    );
    const property = fc.asyncProperty(fc.constantFrom(...people), call, async (personId, given) => {
      if (screen.raw.readyState !== screen.raw.OPEN) screen = await server.screen(cookie);
      const session = server.served.station.sessions.find(cookie.split('=')[1] ?? '');
      if (session !== undefined) server.served.station.signIn(session, personId);
      // A locked or waiting account must not stop the fuzzing.
      server.clock.moveOn(400_000);
      const answer = await answerOrClose(screen, given);
      if (answer === 'closed') return true;
      if (answer.ok) return true;
      if ('refusal' in answer) return isRefusal(answer.refusal);
      throw new Error(`fault ${answer.fault.code}: ${answer.fault.message}`);
    });
    return {
      property,
      async close() {
        screen.cut();
        await server.end();
      },
    };
  },
};

async function answerOrClose(screen: TestSocket, given: { call?: unknown; parameters?: unknown } | null) {
  const closed = screen.closed.then(() => 'closed' as const);
  return Promise.race([screen.call(given?.call as string, given?.parameters), closed]);
}

/** Anything as a message on an open WebSocket. */
export const messageSurface: Surface = {
  name: 'messages on the WebSocket',
  holds: 'answered, or that connection is closed; the next one opens',
  async open() {
    const server = await new TestServer().start();
    const cookie = await server.enter();
    const texts = spoiledText(calls.map((given, id) => ({ id, ...given })));
    const message = fc.oneof(
      { weight: 3, arbitrary: texts },
      { weight: 1, arbitrary: fc.string({ unit: 'binary' }) },
      { weight: 1, arbitrary: fc.uint8Array({ maxLength: 300 }) },
    );
    const property = fc.asyncProperty(fc.array(message, { minLength: 1, maxLength: 4 }), async (messages) => {
      const screen = await server.screen(cookie);
      for (const one of messages) screen.raw.send(one);
      // A last call that is in order: answered unless the connection was closed for one before.
      const outcome = await answerOrClose(screen, { call: 'signOut', parameters: {} });
      screen.cut();
      return outcome === 'closed' || outcome.ok || 'refusal' in outcome;
    });
    return { property, close: () => server.end() };
  },
};
