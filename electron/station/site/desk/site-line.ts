import { schemaVersionOf, siteSchemaVersion } from '../schema-version.ts';
import type { SiteAccess } from '../site-access.ts';
import { connectSite, type SiteClient } from '../site-client.ts';
import { SiteFault, siteFaultOf } from '../site-fault.ts';

/** No question of a screen takes longer; what is long has a connection of its own. */
const longestQuestionMilliseconds = 20_000;
const lookEveryMilliseconds = 10_000;

export interface SiteLineParts {
  readonly access: SiteAccess;
  /** What stands in the way; null when nothing does. Told when it changes. */
  onTrouble(fault: SiteFault | null): void;
}

/**
 * The way of a desk to its site: one connection for questions, one after the other, made anew after one that broke.
 * The server is told to refuse everything that would write. Looks by itself whether the site is still there.
 */
export class SiteLine {
  readonly #parts: SiteLineParts;
  readonly #watch: NodeJS.Timeout;
  #client: SiteClient | undefined;
  #last: Promise<unknown> = Promise.resolve();
  #trouble: SiteFault | null = null;

  constructor(parts: SiteLineParts) {
    this.#parts = parts;
    this.#watch = setInterval(() => void this.look(), lookEveryMilliseconds);
    this.#watch.unref();
  }

  /**
   * Asks when the questions before are answered.
   *
   * @throws SiteFault
   */
  ask<Value>(work: (client: SiteClient) => Promise<Value>): Promise<Value> {
    const asked = this.#last.then(() => this.#ask(work));
    this.#last = asked.catch(() => undefined);
    return asked;
  }

  /** Looks whether the site answers, and tells what stands in the way. */
  async look(): Promise<void> {
    await this.ask((client) => client.query('SELECT 1')).catch(() => undefined);
  }

  /**
   * Works on a connection of its own, for as long as it takes.
   *
   * @throws SiteFault
   */
  async alone<Value>(work: (client: SiteClient) => Promise<Value>): Promise<Value> {
    const client = await this.#connect(undefined);
    try {
      return await work(client);
    } finally {
      await client.end().catch(() => undefined);
    }
  }

  async close(): Promise<void> {
    clearInterval(this.#watch);
    await this.#leave();
  }

  async #ask<Value>(work: (client: SiteClient) => Promise<Value>): Promise<Value> {
    try {
      this.#client ??= await this.#connect(longestQuestionMilliseconds);
      const value = await work(this.#client);
      this.#tell(null);
      return value;
    } catch (error) {
      const fault = siteFaultOf(error);
      // An answer that took too long says nothing of the next one; everything else may be the connection's fault.
      await this.#leave();
      if (fault !== undefined && fault.code !== 'site_failed') this.#tell(fault);
      throw fault ?? error;
    }
  }

  async #connect(statementMs: number | undefined): Promise<SiteClient> {
    const client = await connectSite(this.#parts.access, {
      readOnly: true,
      ...(statementMs === undefined ? {} : { statementMs }),
    });
    try {
      const version = await schemaVersionOf(client);
      if (version !== siteSchemaVersion) throw new SiteFault('other_schema', otherSchema(version));
      return client;
    } catch (error) {
      await client.end().catch(() => undefined);
      throw siteFaultOf(error) ?? error;
    }
  }

  async #leave(): Promise<void> {
    const left = this.#client;
    this.#client = undefined;
    await left?.end().catch(() => undefined);
  }

  #tell(trouble: SiteFault | null): void {
    if (trouble?.code === this.#trouble?.code) return;
    this.#trouble = trouble;
    this.#parts.onTrouble(trouble);
  }
}

function otherSchema(version: number): string {
  return version > siteSchemaVersion
    ? `the site store was made by a newer version (schema ${version}, this program knows ${siteSchemaVersion}); use that version`
    : `the site store has an older schema (${version}, this program needs ${siteSchemaVersion}); run "site set-up" on it`;
}
