export type SiteFaultCode =
  | 'unreachable'
  | 'not_trusted'
  | 'not_admitted'
  | 'no_right'
  | 'no_site_store'
  | 'other_schema'
  | 'site_failed';

/** The site store or the way to it is at fault. Nothing was half-written there; the same call may be made again. */
export class SiteFault extends Error {
  override readonly name = 'SiteFault';
  readonly code: SiteFaultCode;

  /** @param message One plain sentence: what is wrong and what to do. */
  constructor(code: SiteFaultCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

const sentences: Readonly<Record<SiteFaultCode, string>> = {
  unreachable: 'the site store cannot be reached; check the network and whether the server runs',
  not_trusted:
    'the server does not show that it is the site store; check its certificate and the authority file',
  not_admitted: 'the server does not let this login in; check the login in the URL and the password file',
  no_right: 'this login may not do that; use one that has the role for it (docs/site.md)',
  no_site_store: 'there is no site store in this database; run "site set-up" on it first',
  other_schema:
    'the site store has another schema than this program; run "site set-up" with the newer of the two',
  site_failed: 'the server failed; look into its log',
};

/** Network errors of Node for a server that is away, or was a moment ago. */
const away = /^(ECONN|EPIPE|ENOTFOUND|EAI_|EHOSTUNREACH|ENETUNREACH|ENETDOWN|ETIMEDOUT|ENOENT)/;
const awayMessage = /terminated|timeout|not queryable|closed the connection/i;
const untrusted = /^(CERT_|ERR_TLS|ERR_SSL|DEPTH_ZERO|SELF_SIGNED|UNABLE_TO_|HOSTNAME_MISMATCH)/;

/** SQLSTATE of PostgreSQL, by its beginning. */
const states: readonly (readonly [RegExp, SiteFaultCode])[] = [
  [/^28/, 'not_admitted'],
  [/^42501/, 'no_right'],
  [/^(3D000|3F000|42883|42P01|42704)/, 'no_site_store'],
  [/^(08|57|53)/, 'unreachable'],
  [/^[0-9A-Z]{5}$/, 'site_failed'],
];

/** The fault behind an error of the driver, or undefined when it is none (then it is a bug). */
export function siteFaultOf(error: unknown): SiteFault | undefined {
  if (error instanceof SiteFault) return error;
  if (!(error instanceof Error)) return undefined;
  const code = 'code' in error ? String(error.code) : '';
  const fault = codeOf(code, error);
  if (fault === undefined) return undefined;
  const detail = code === '' ? error.message : `${code}: ${error.message}`;
  return new SiteFault(fault, `${sentences[fault]} (${detail.split('\n')[0]})`, { cause: error });
}

function codeOf(code: string, error: Error): SiteFaultCode | undefined {
  if (untrusted.test(code) || /does not support SSL/.test(error.message)) return 'not_trusted';
  if (away.test(code)) return 'unreachable';
  if ('severity' in error) return states.find(([state]) => state.test(code))?.[1];
  return awayMessage.test(error.message) ? 'unreachable' : undefined;
}

/** Runs a piece of work at the site; its errors come out as SiteFault where the site or the way to it is at fault. */
export async function withSiteFaults<Value>(work: () => Promise<Value>): Promise<Value> {
  try {
    return await work();
  } catch (error) {
    throw siteFaultOf(error) ?? error;
  }
}
