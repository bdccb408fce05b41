import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ChartWish } from '../../../../shared/audit/filter.ts';
import type { CallParameters, Snapshot } from '../../../../shared/contract.ts';
import type { Person } from '../../../../shared/people/person.ts';
import { ok, type Result, refuse } from '../../../../shared/result.ts';
import { ExportDesk } from '../../audit/export-desk.ts';
import type { Question } from '../../audit/reading-room-calls.ts';
import type { DocumentWish } from '../../documents/document-run.ts';
import type { RemoteDesk } from '../../serve/remote-calls.ts';
import type { SiteAccess } from '../site-access.ts';
import { siteChart, siteCheckChart, siteInstruments } from '../site-chart.ts';
import { type SiteFault, siteFaultOf } from '../site-fault.ts';
import { siteChoices } from './site-choices.ts';
import { bundleRefusal, createSiteExport, createSiteImpact } from './site-exports.ts';
import { siteHistory } from './site-history.ts';
import { SiteLine } from './site-line.ts';
import {
  siteChainViews,
  siteFilter,
  siteLotViews,
  siteSearchPage,
  siteSerials,
  siteTimeline,
} from './site-room.ts';
import { SiteVerifyDesk } from './site-verify-desk.ts';

export interface SiteDeskParts {
  readonly access: SiteAccess;
  /** Now, ISO 8601 with offset. */
  readonly wallTime: () => string;
  readonly onBug: (error: unknown) => void;
  /** What stands in the way has changed. */
  onChange(): void;
}

/**
 * The auditor's desk of a site: read-only, without a bench, instruments or evidence of its own. Who may read is for the
 * server to say: the login that the desk was started with is the person who is signed in.
 */
export class SiteDesk {
  readonly exports: ExportDesk;
  readonly line: SiteLine;
  readonly #parts: SiteDeskParts;
  readonly #person: Person;
  readonly #folder = mkdtempSync(join(tmpdir(), 'bandwright-site-desk-'));
  readonly #verify: SiteVerifyDesk;
  #trouble: { readonly fault: SiteFault; readonly at: string } | null = null;

  constructor(parts: SiteDeskParts) {
    const { access, wallTime, onBug } = parts;
    this.#parts = parts;
    this.#person = auditorOf(access.login);
    this.line = new SiteLine({
      access,
      onTrouble: (fault) => {
        this.#trouble = fault === null ? null : { fault, at: wallTime() };
        parts.onChange();
      },
    });
    this.#verify = new SiteVerifyDesk(this.line, onBug);
    this.exports = new ExportDesk({
      ...{ dataFolder: this.#folder, wallTime, onBug },
      runExport: createSiteExport(this.line),
      runImpact: createSiteImpact(this.line),
    });
  }

  /** The folder in which exports wait to be fetched; it goes with the desk. */
  get folder(): string {
    return this.#folder;
  }

  get person(): Person {
    return this.#person;
  }

  /** What stands in the way of the site now. */
  get trouble(): SiteFault | null {
    return this.#trouble?.fault ?? null;
  }

  snapshot(version: string): Snapshot {
    const { host, port, database, login } = this.#parts.access;
    const { personId, name, roles } = this.#person;
    const trouble = this.#trouble;
    const address = `${host.includes(':') ? `[${host}]` : host}:${port}/${database}`;
    return {
      ...{ version, workshop: address, simulated: false, readOnly: true },
      site: { address, login },
      signedIn: { personId, name, roles },
      ...{ people: [], instruments: [], openJobs: [] },
      assigned: { scale: null, wrench: null },
      jobInHand: null,
      faults: trouble === null ? [] : [{ ...toldFault(trouble.fault), at: trouble.at }],
    };
  }

  /** What the calls of a screen reach. */
  get calls(): RemoteDesk {
    const onlyRead = () => refuse('read_only', 'call', 'At the desk of a site nothing can be changed.');
    return {
      readingRoom: { ask: (name, parameters) => this.#answer(name, parameters) as never },
      savedViews: { of: () => [] },
      exports: this.exports,
      startExport: async (personId, wish, tell) => {
        const refusal = wish.format === 'bundle' ? bundleRefusal(wish) : null;
        if (refusal !== null) return refusal;
        const filter = await this.line.ask((client) => siteFilter(client, wish.filter));
        return filter.ok ? this.exports.start(personId, wish, filter.value, tell) : filter;
      },
      startImpact: (personId, wish, tell) =>
        wish.stationId === undefined ? stationMissing() : this.exports.startImpact(personId, wish, tell),
      startVerify: (_personId, tell, chainId) => this.#verify.start(chainId, tell),
      stopVerify: () => this.#verify.stop(),
      siteChains: async () => ok({ chains: await this.line.ask(siteChainViews) }),
      siteLot: async (lotId) => ok(await this.line.ask((client) => siteLotViews(client, lotId))),
      personIn: () => this.#person,
      signIn: async () => onlyRead(),
      signOut: () => undefined,
      reportBug: this.#parts.onBug,
      faultOf(error) {
        const fault = siteFaultOf(error);
        return fault && toldFault(fault);
      },
    };
  }

  /** A document that a screen fetches; undefined for what is made at a bench alone. */
  async makeDocument(wish: DocumentWish): Promise<Uint8Array | undefined> {
    if (wish.kind !== 'history') return undefined;
    return this.line.ask((client) => siteHistory(client, wish.serial, { language: wish.language }));
  }

  async close(): Promise<void> {
    this.#verify.stop();
    this.exports.close();
    await this.line.close();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  async #answer(name: Question, parameters: unknown): Promise<unknown> {
    const { line } = this;
    const given = parameters as Asked;
    const { stationId } = given;
    switch (name) {
      case 'timeline':
        return ok(await line.ask((client) => siteTimeline(client, given.serial)));
      case 'findSerials':
        return ok(await line.ask((client) => siteSerials(client, given.text)));
      case 'hasSerial': {
        const { serials } = await line.ask((client) => siteSerials(client, given.serial));
        return ok(serials.some(({ serial }) => serial === given.serial));
      }
      case 'searchJobs':
        return line.ask((client) => siteSearchPage(client, given.filter, given.before));
      case 'searchChoices':
        return ok(await line.ask(siteChoices));
      case 'processChart':
        if (stationId === undefined) return stationMissing();
        return line.ask(async (client) => {
          const filter = await siteFilter(client, given.filter);
          return filter.ok ? siteChart(client, stationId, given, filter.value) : filter;
        });
      case 'checkChart':
        if (stationId === undefined) return stationMissing();
        return line.ask((client) => siteCheckChart(client, stationId, given.instrumentId));
      case 'calibratedInstruments':
        if (stationId === undefined) return stationMissing();
        return line.ask((client) => siteInstruments(client, stationId));
      default:
        return refuse('not_at_site', 'call', notAtSite);
    }
  }
}

/** What the questions of a screen bring, each its own part of it; the contract has checked that part. */
type Asked = CallParameters<'timeline'> &
  CallParameters<'findSerials'> &
  CallParameters<'searchJobs'> &
  ChartWish &
  CallParameters<'checkChart'>;

function stationMissing(): Result<never> {
  return refuse('station_missing', 'stationId', 'Choose the bench that is asked about.');
}

/** As screens have words for it. */
export function toldFault({ code, message }: SiteFault): { readonly code: string; readonly message: string } {
  return { code: code === 'site_failed' ? code : `site_${code}`, message };
}

const notAtSite = 'This is about one station: use its own desk, or the command with --site and --station.';

function auditorOf(login: string): Person {
  return {
    personId: login,
    name: login,
    roles: ['auditor'],
    ...{ badge: null, pin: null, active: true, invented: false, version: 0 },
  };
}
