import { createRequire } from 'node:module';

/** What may be asked of the key store for one name: give its secret out, keep this one, forget it. */
export type KeyStoreRequest =
  | { readonly action: 'read' | 'forget'; readonly name: string }
  | { readonly action: 'keep'; readonly name: string; readonly secret: string };

export type KeyStoreAnswer =
  | { readonly kind: 'secret'; readonly secret: string }
  /** It holds nothing under that name, or has done what was asked. */
  | { readonly kind: 'nothing' }
  /** Locked, not there, or silent; the reason in its own words. */
  | { readonly kind: 'shut'; readonly reason: string };

/** Under this service everybody finds our secrets in the key store's own program. */
const service = 'Bandwright';

// D-Bus's org.freedesktop.DBus.Error.NoReply; the library gives its words alone, after two seconds.
const noReply = /Did not receive a reply/;
const breathMilliseconds = 200;

/** Asks in this process, which waits as long as the store likes: one that does not answer yet is asked again. */
export function askKeyStoreHere(request: KeyStoreRequest): KeyStoreAnswer {
  for (;;) {
    const answer = askOnce(request);
    if (answer.kind !== 'shut' || !noReply.test(answer.reason)) return answer;
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, breathMilliseconds);
  }
}

function askOnce(request: KeyStoreRequest): KeyStoreAnswer {
  try {
    // Loaded where a key is locked in the store, and nowhere else.
    const { Entry }: typeof import('@napi-rs/keyring') = createRequire(import.meta.url)('@napi-rs/keyring');
    // Without this Linux may fall back to the kernel's keyring, which is empty after the next start.
    const entry = new Entry(service, request.name, { linux: { store: 'secret-service' } });
    if (request.action === 'keep') entry.setPassword(request.secret);
    else if (request.action === 'forget') entry.deleteCredential();
    const secret = request.action === 'read' ? entry.getPassword() : null;
    return secret === null ? { kind: 'nothing' } : { kind: 'secret', secret };
  } catch (error) {
    return { kind: 'shut', reason: error instanceof Error ? error.message : String(error) };
  }
}
