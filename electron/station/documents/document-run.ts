import { StoreFault, type StoreFaultCode } from '../store/store-fault.ts';
import { startThread } from '../thread.ts';
import type { Paper } from './service-record-pdf.ts';
import type { DocumentLanguage } from './wording/wording.ts';

/** What to print: plain data, so that it can cross to the worker. */
export type DocumentWish = {
  readonly language?: DocumentLanguage | undefined;
  readonly paper?: Paper | undefined;
} & (
  | { readonly kind: 'record' | 'label'; readonly jobId: string }
  | { readonly kind: 'history'; readonly serial: string }
);

/** From the worker, once. */
export type DocumentMessage =
  | { readonly kind: 'made'; readonly pdf: Uint8Array<ArrayBuffer> | undefined }
  | { readonly kind: 'fault'; readonly name: string; readonly code: string | null; readonly message: string };

/**
 * Makes a document in a worker thread on a connection of its own, so that no live reading waits for it (a record
 * takes a fifth of a second). The same bytes as `makeDocument` and `makeSerialDocument` give.
 *
 * @param folder the data folder; a station may be writing to it
 * @returns undefined for an unknown job or serial
 * @throws StoreFault when the evidence cannot be read
 */
export function runDocument(folder: string, wish: DocumentWish): Promise<Uint8Array | undefined> {
  const worker = startThread(new URL('./document-worker.ts', import.meta.url), { folder, wish });
  return new Promise((resolve, reject) => {
    worker.on('message', (message: DocumentMessage) => {
      if (message.kind === 'made') resolve(message.pdf);
      else reject(faultOf(message));
    });
    worker.on('error', reject);
    worker.on('exit', (code) => reject(new Error(`the document ended without a result (${code})`)));
  });
}

function faultOf({ name, code, message }: DocumentMessage & { kind: 'fault' }): Error {
  if (name === 'StoreFault' && code !== null) return new StoreFault(code as StoreFaultCode, message);
  return new Error(`${name}: ${message}`);
}
