import { type CallName, callParameters } from '../../shared/contract.ts';
import type { Person } from '../../shared/people/person.ts';
import { ok, type Refusal, type Result, refuse } from '../../shared/result.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import { auditHandlers } from './audit-calls.ts';
import { actorOf, allowed, type Handlers, type Parsed, signedIn } from './call-handler.ts';
import { healthHandlers } from './health-calls.ts';
import type { Commander } from './job-desk.ts';
import { managementHandlers } from './management-calls.ts';
import { stepUp } from './people/step-up.ts';
import { portHandlers } from './port-calls.ts';
import type { AnswerBody, Screen } from './serve/screen-server.ts';
import type { Station } from './station.ts';
import { storeFaultOf } from './store/store-fault.ts';

const onlyAtSite = () =>
  refuse('no_site_desk', 'call', 'This is the desk of a bench; ask at the desk of the site.');

/** What each call does. Looked up by `Object.hasOwn` in `callParameters` first: `constructor` is no call. */
const handlers: Handlers<CallName> = {
  ...managementHandlers,
  ...portHandlers,
  ...auditHandlers,
  ...healthHandlers,

  async signIn(station, screen, { personId, badge, pin }) {
    const person = station.people.find({ personId, badge });
    if (person === undefined)
      return refuse('person_unknown', 'personId', 'This person is not known here; choose another.');
    const checked = await station.people.checkPin(person, pin);
    if (!checked.ok) return checked;
    station.signIn(screen.session, person.personId);
    return ok({ person: { personId: person.personId, name: person.name, roles: person.roles } });
  },

  signOut(station, screen) {
    station.signOut(screen.session);
    return ok(null);
  },

  lookUpSerial(station, screen, { serial }) {
    const person = allowed(station, screen, 'openJob');
    return person.ok ? ok(station.lookUpSerial(serial)) : person;
  },

  async command(station, screen, { command, pin, personId }) {
    const person = signedIn(station, screen);
    if (!person.ok) return person;
    const commander = await commanderOf(station, person.value, { command, pin, personId });
    if (!commander.ok) return commander;
    const state = station.jobs.command(command, commander.value);
    if (!state.ok) return state;
    if (command.kind === 'openJob') station.takeInHand(screen.session, state.value.jobId);
    station.changed();
    return ok({ jobId: state.value.jobId, version: state.value.version });
  },

  takeInHand(station, screen, { jobId }) {
    const person = allowed(station, screen, 'openJob');
    if (!person.ok) return person;
    if (jobId !== null && station.jobs.state(jobId) === undefined) {
      return refuse('no_such_job', 'jobId', 'There is no such job; look at the list again.');
    }
    station.takeInHand(screen.session, jobId);
    return ok(null);
  },

  assignInstrument(station, screen, { instrumentId }) {
    const person = allowed(station, screen, 'openJob');
    return person.ok ? station.bench.assign(instrumentId) : person;
  },

  adjustInstrument(station, screen, { instrumentId, action }) {
    const person = allowed(station, screen, 'openJob');
    return person.ok ? station.bench.adjust(instrumentId, action) : person;
  },

  simulate(station, screen, { instrumentId, action }) {
    const person = allowed(station, screen, 'openJob');
    return person.ok
      ? station.bench.simulate(instrumentId, action, station.targetInHand(screen.session))
      : person;
  },

  verify(station, screen) {
    const person = allowed(station, screen, 'verifyEvidence');
    return person.ok ? station.startVerify(person.value.personId, screen) : person;
  },

  stopVerify(station, screen) {
    const person = allowed(station, screen, 'verifyEvidence');
    return person.ok ? station.stopVerify(person.value.personId) : person;
  },

  document(station, screen, { jobId, kind }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    if (station.store.recordOf(jobId) === undefined) {
      return refuse('no_record', 'jobId', 'This job has no record yet; release it first.');
    }
    return ok({ url: `/documents/${encodeURIComponent(jobId)}/${kind}.pdf` });
  },

  siteChains: onlyAtSite,
  siteLot: onlyAtSite,

  setUp() {
    return refuse('set_up_already', 'call', 'This station is set up already.');
  },

  sheets(station, screen) {
    const person = signedIn(station, screen);
    return person.ok ? ok({ sheets: [...station.sheets.inForce()] }) : person;
  },
};

/** Who commands: the person signed in, or one who steps up with a PIN for this one command. */
async function commanderOf(
  station: Station,
  person: Person,
  { command, pin, personId }: Parsed<'command'>,
): Promise<Result<Commander>> {
  const proved = await stepUp(station.people, person, { pin, personId });
  if (!proved.ok) return proved;
  const { person: prover, pinVerified } = proved.value;
  const other = personId === undefined ? undefined : prover;
  if (command.kind === 'voidJob') {
    const secondPerson = other && { ...actorOf(other), pinVerified };
    return ok({ person: actorOf(person), pinVerified: other === undefined && pinVerified, secondPerson });
  }
  if (command.kind === 'handOverJob') {
    const receiver = station.people.find({ personId: command.toPersonId });
    const secondPerson = receiver && { ...actorOf(receiver), pinVerified: false };
    return ok({ person: actorOf(prover), pinVerified, secondPerson });
  }
  return ok({ person: actorOf(prover), pinVerified });
}

/** Calls that a screen makes by itself, over and over. */
const callsWithoutHands: ReadonlySet<CallName> = new Set(['instrumentLines', 'teach']);
/** Calls that leave something on the disk when they are not refused. */
const writingCalls: ReadonlySet<CallName> = new Set(['command', 'manage']);

/** Answers one call of a screen: shape first, then role, then the deed. Faults of disk and ports come back as words. */
export async function answerCall(
  station: Station,
  screen: Screen,
  call: string,
  parameters: unknown,
): Promise<AnswerBody> {
  if (!Object.hasOwn(callParameters, call)) {
    return refused({
      code: 'no_such_call',
      field: 'call',
      message: 'The station knows no such call; reload the screen.',
    });
  }
  const name = call as CallName;
  const parsed = parseWith(callParameters[name], parameters);
  if (!parsed.ok) return refused({ ...parsed.error, code: 'bad_parameters' });
  try {
    // A screen that only looks on by itself is no sign of a person: the idle lock must still come.
    if (!callsWithoutHands.has(name)) station.touch(screen.session);
    const handle = handlers[name] as (station: Station, screen: Screen, parameters: unknown) => unknown;
    const result = (await handle(station, screen, parsed.value)) as Result<unknown>;
    if (!result.ok) return refused(result.error);
    if (writingCalls.has(name)) station.wrote();
    return { ok: true, value: result.value };
  } catch (error) {
    const fault = storeFaultOf(error);
    if (fault === undefined) {
      station.reportBug(error);
      return {
        ok: false,
        fault: { code: 'bug', message: 'The station made a mistake; it is in the log. Nothing was written.' },
      };
    }
    station.reportFault(fault.code, fault.message);
    return { ok: false, fault: { code: fault.code, message: fault.message } };
  }
}

function refused(refusal: Refusal): AnswerBody {
  return { ok: false, refusal };
}
