import { connect, createServer, type Socket } from 'node:net';

/** A way to the server that can be cut: every connection through it ends at once, in the middle of whatever is said. */
export interface CuttingProxy {
  readonly port: number;
  /** Ends all connections; how many it were. */
  cut(): number;
  close(): Promise<void>;
}

export async function startCuttingProxy(target: number): Promise<CuttingProxy> {
  const sockets = new Set<Socket>();
  const server = createServer((client) => {
    const remote = connect(target, '127.0.0.1');
    for (const [from, to] of [
      [client, remote],
      [remote, client],
    ] as const) {
      sockets.add(from);
      from.on('error', () => undefined);
      from.on('close', () => {
        sockets.delete(from);
        to.destroy();
      });
      from.pipe(to);
    }
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('the proxy has no port');
  return {
    port: address.port,
    cut() {
      const count = sockets.size / 2;
      for (const socket of sockets) socket.resetAndDestroy();
      return count;
    },
    async close() {
      for (const socket of sockets) socket.destroy();
      await new Promise((done) => server.close(done));
    },
  };
}
