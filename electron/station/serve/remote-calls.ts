import { type CallName, type CallResults, callParameters, type News } from '../../../shared/contract.ts';
import { type Permission, roleRefusal } from '../../../shared/people/permission.ts';
import type { Person } from '../../../shared/people/person.ts';
import { ok, type Refusal, type Result, refuse } from '../../../shared/result.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import type { ExportDesk } from '../audit/export-desk.ts';
import type { ReadingRoom } from '../audit/reading-room.ts';
import type { SavedViews } from '../audit/saved-views.ts';
import { storeFaultOf } from '../store/store-fault.ts';
import type { RemoteSession } from './remote-sessions.ts';
import type { AnswerBody } from './screen-server.ts';

/** The calls that another desk may make: those that read, and signing in and out. */
export type RemoteCall = Extract<
  CallName,
  | 'signIn'
  | 'signOut'
  | 'timeline'
  | 'findSerials'
  | 'searchJobs'
  | 'searchChoices'
  | 'processChart'
  | 'checkChart'
  | 'calibratedInstruments'
  | 'savedViews'
  | 'startExport'
  | 'startImpact'
  | 'stopExport'
  | 'serialDocument'
  | 'document'
  | 'verify'
  | 'stopVerify'
  | 'siteChains'
  | 'siteLot'
>;

/**
 * All that the calls of another desk can reach. There is no store in it, no bench, no register and no way to one: what
 * reads the evidence has a connection of its own that cannot write.
 */
export interface RemoteDesk {
  readonly readingRoom: Pick<ReadingRoom, 'ask'>;
  readonly savedViews: Pick<SavedViews, 'of'>;
  readonly exports: Pick<ExportDesk, 'stop'>;
  startExport(
    personId: string,
    wish: ParametersOf<'startExport'>,
    tell: (progress: Extract<News, { news: 'export' }>['progress']) => void,
  ): Promise<Result<{ exportId: string }>>;
  startImpact(
    personId: string,
    wish: ParametersOf<'startImpact'>,
    tell: (progress: Extract<News, { news: 'impact' }>['progress']) => void,
  ): Result<{ exportId: string }>;
  startVerify(
    personId: string,
    tell: (progress: Extract<News, { news: 'verify' }>['progress']) => void,
    chainId: number | undefined,
  ): Result<null>;
  /** At the desk of a site. */
  siteChains?(): Promise<Result<CallResults['siteChains']>>;
  siteLot?(lotId: string): Promise<Result<CallResults['siteLot']>>;
  stopVerify(personId: string): Result<null>;
  /** The person signed in, while they are there and may still sign in. */
  personIn(session: RemoteSession): Person | undefined;
  signIn(screen: RemoteScreen, who: string, pin: string): Promise<Result<Person>>;
  signOut(screen: RemoteScreen): void;
  reportBug(error: unknown): void;
  /** What is at fault outside the program, besides disk and database. */
  faultOf?(error: unknown): { readonly code: string; readonly message: string } | undefined;
}

/** One open WebSocket from another desk. */
export interface RemoteScreen {
  readonly session: RemoteSession;
  readonly address: string;
  push(news: News): void;
}

type ParametersOf<Name extends RemoteCall> = ReturnType<(typeof callParameters)[Name]['parse']>;
type RemoteHandler<Name extends RemoteCall> = (
  desk: RemoteDesk,
  screen: RemoteScreen,
  parameters: ParametersOf<Name>,
) => Result<CallResults[Name]> | Promise<Result<CallResults[Name]>>;

/** Every call of another desk. A call that is not in this table does not exist there. */
export const remoteHandlers: { readonly [Name in RemoteCall]: RemoteHandler<Name> } = {
  async signIn(desk, screen, { personId, badge, pin }) {
    const person = await desk.signIn(screen, badge ?? personId ?? '', pin);
    if (!person.ok) return person;
    const { personId: id, name, roles } = person.value;
    return ok({ person: { personId: id, name, roles } });
  },

  signOut(desk, screen) {
    desk.signOut(screen);
    return ok(null);
  },

  timeline: reading('timeline'),
  findSerials: reading('findSerials'),
  searchJobs: reading('searchJobs'),
  searchChoices: reading('searchChoices'),
  processChart: reading('processChart'),
  checkChart: reading('checkChart'),
  calibratedInstruments: reading('calibratedInstruments'),

  savedViews(desk, screen) {
    const person = allowed(desk, screen, 'readAudit');
    return person.ok ? ok({ views: [...desk.savedViews.of(person.value.personId)] }) : person;
  },

  async startExport(desk, screen, wish) {
    const person = allowed(desk, screen, 'exportEvidence');
    if (!person.ok) return person;
    return desk.startExport(person.value.personId, wish, (progress) =>
      screen.push({ news: 'export', progress }),
    );
  },

  startImpact(desk, screen, wish) {
    const person = allowed(desk, screen, 'exportEvidence');
    if (!person.ok) return person;
    return desk.startImpact(person.value.personId, wish, (progress) =>
      screen.push({ news: 'impact', progress }),
    );
  },

  stopExport(desk, screen, { exportId }) {
    const person = allowed(desk, screen, 'exportEvidence');
    return person.ok ? desk.exports.stop(person.value.personId, exportId) : person;
  },

  async serialDocument(desk, screen, { serial, language }) {
    const person = allowed(desk, screen, 'readAudit');
    if (!person.ok) return person;
    const known = await desk.readingRoom.ask('hasSerial', { serial });
    if (!known.ok) return known;
    if (!known.value) return refuse('serial_unknown', 'serial', 'This serial was never here; check it.');
    return ok({ url: `/documents/history/${language}/${encodeURIComponent(serial)}.pdf` });
  },

  async document(desk, screen, { jobId, kind }) {
    const person = allowed(desk, screen, 'readAudit');
    if (!person.ok) return person;
    const known = await desk.readingRoom.ask('hasRecord', { jobId });
    if (!known.ok) return known;
    if (!known.value) return refuse('no_record', 'jobId', 'This job has no record yet; release it first.');
    return ok({ url: `/documents/${encodeURIComponent(jobId)}/${kind}.pdf` });
  },

  verify(desk, screen, { chainId }) {
    const person = allowed(desk, screen, 'verifyEvidence');
    if (!person.ok) return person;
    const tell: Parameters<RemoteDesk['startVerify']>[1] = (progress) =>
      screen.push({ news: 'verify', progress });
    return desk.startVerify(person.value.personId, tell, chainId);
  },

  async siteChains(desk, screen) {
    const person = allowed(desk, screen, 'readAudit');
    if (!person.ok) return person;
    return desk.siteChains === undefined ? onlyAtSite() : desk.siteChains();
  },

  async siteLot(desk, screen, { lotId }) {
    const person = allowed(desk, screen, 'readAudit');
    if (!person.ok) return person;
    return desk.siteLot === undefined ? onlyAtSite() : desk.siteLot(lotId);
  },

  stopVerify(desk, screen) {
    const person = allowed(desk, screen, 'verifyEvidence');
    return person.ok ? desk.stopVerify(person.value.personId) : person;
  },
};

type Question = Extract<
  RemoteCall,
  | 'timeline'
  | 'findSerials'
  | 'searchJobs'
  | 'searchChoices'
  | 'processChart'
  | 'checkChart'
  | 'calibratedInstruments'
>;

/** A call that the reading room answers as it stands. */
function reading<Name extends Question>(name: Name): RemoteHandler<Name> {
  return async (desk, screen, parameters) => {
    const person = allowed(desk, screen, 'readAudit');
    if (!person.ok) return person;
    return desk.readingRoom.ask(name, parameters as never) as Promise<Result<CallResults[Name]>>;
  };
}

function onlyAtSite(): Result<never> {
  return refuse('no_site_desk', 'call', 'This is the desk of a bench; ask at the desk of the site.');
}

function allowed(desk: RemoteDesk, { session }: RemoteScreen, permission: Permission): Result<Person> {
  const person = desk.personIn(session);
  if (person === undefined) {
    return refuse('not_signed_in', 'personId', 'Nobody is signed in here; sign in first.');
  }
  const refusal = roleRefusal(person, permission);
  return refusal === null ? ok(person) : { ok: false, error: refusal };
}

/** Answers one call from another desk: only what is in the table, shape first, then role. */
export async function answerRemoteCall(
  desk: RemoteDesk,
  screen: RemoteScreen,
  call: string,
  parameters: unknown,
): Promise<AnswerBody> {
  if (!Object.hasOwn(remoteHandlers, call)) {
    return Object.hasOwn(callParameters, call)
      ? refused({
          code: 'read_only',
          field: 'call',
          message: 'From another desk nothing can be changed; do it at the bench.',
        })
      : refused({ code: 'no_such_call', field: 'call', message: 'The station knows no such call.' });
  }
  const name = call as RemoteCall;
  const parsed = parseWith(callParameters[name], parameters);
  if (!parsed.ok) return refused({ ...parsed.error, code: 'bad_parameters' });
  try {
    const handle = remoteHandlers[name] as (
      desk: RemoteDesk,
      screen: RemoteScreen,
      parameters: unknown,
    ) => Result<unknown> | Promise<Result<unknown>>;
    const result = await handle(desk, screen, parsed.value);
    return result.ok ? { ok: true, value: result.value } : refused(result.error);
  } catch (error) {
    const fault = storeFaultOf(error) ?? desk.faultOf?.(error);
    if (fault !== undefined) return { ok: false, fault: { code: fault.code, message: fault.message } };
    desk.reportBug(error);
    return { ok: false, fault: { code: 'bug', message: 'The station made a mistake; it is in the log.' } };
  }
}

function refused(refusal: Refusal): AnswerBody {
  return { ok: false, refusal };
}
