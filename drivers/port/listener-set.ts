import type { Unsubscribe } from './byte-port.ts';

/** Listeners of one kind of event. Telling goes to those who listened when it began. */
export interface ListenerSet<Arguments extends readonly unknown[]> {
  add(listener: (...values: Arguments) => void): Unsubscribe;
  tell(...values: Arguments): void;
}

export function createListenerSet<Arguments extends readonly unknown[]>(): ListenerSet<Arguments> {
  let listeners: readonly ((...values: Arguments) => void)[] = [];
  return {
    add(listener) {
      const entry = (...values: Arguments) => listener(...values);
      listeners = [...listeners, entry];
      return () => {
        listeners = listeners.filter((present) => present !== entry);
      };
    },
    tell(...values) {
      for (const listener of listeners) listener(...values);
    },
  };
}
