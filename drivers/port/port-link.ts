import type { Result } from '../../shared/result.ts';
import type { LossReason, OpenFailure } from './byte-port.ts';

/** What an open connection tells its port. */
export interface LinkListeners {
  onBytes(chunk: Uint8Array): void;
  onLost(reason: LossReason, message: string): void;
  /** Nothing will ever come again, and nothing is wrong: the end of a recording. The port closes. */
  onEnded(): void;
}

/** One opening of a device, from open to close; never opened a second time. */
export interface PortLink {
  /** Lets bytes flow. Called once, after the port has told that it is open. */
  start(): void;
  write(bytes: Uint8Array): Result<void>;
  /** Resolves when the system has let go of the device; also after a loss. */
  close(): Promise<void>;
}

export type LinkOutcome =
  | { readonly ok: true; readonly link: PortLink }
  | { readonly ok: false; readonly failure: OpenFailure };

/** Makes one attempt to open. Never throws: what goes wrong is a failure value. */
export type OpenLink = (listeners: LinkListeners) => Promise<LinkOutcome>;
