import { createServer, request as httpRequest } from 'node:http';
import { type AddressInfo, connect } from 'node:net';

/** A proxy that lets requests to the page's own hosts through and keeps account of all others, which it refuses. */
export interface StrangerProxy {
  readonly address: string;
  /** Addresses, or hosts, that were asked for and are not the page's own. */
  readonly strangers: string[];
  /** How many requests it has let through. */
  passed(): number;
  close(): void;
}

/** @param own - addresses whose hosts may be asked */
export async function strangerProxy(...own: readonly string[]): Promise<StrangerProxy> {
  const strangers: string[] = [];
  let passed = 0;
  const isOwn = (host: string) => own.some((address) => new URL(address).host === host);
  const server = createServer((asked, answer) => {
    const url = new URL(asked.url!);
    if (!isOwn(url.host)) {
      strangers.push(asked.url!);
      answer.writeHead(502).end();
      return;
    }
    passed++;
    const onward = httpRequest(url, { method: asked.method, headers: asked.headers }, (found) => {
      answer.writeHead(found.statusCode!, found.headers);
      found.pipe(answer);
    });
    onward.on('error', () => answer.destroy());
    asked.pipe(onward);
  });
  // Everything that isn't plain HTTP asks for a tunnel: HTTPS and websockets.
  server.on('connect', (asked, socket) => {
    if (!isOwn(asked.url!)) {
      strangers.push(asked.url!);
      socket.destroy();
      return;
    }
    passed++;
    const [host, port] = asked.url!.split(':');
    const onward = connect(Number(port), host, () => {
      socket.write('HTTP/1.1 200 OK\r\n\r\n');
      onward.pipe(socket);
      socket.pipe(onward);
    });
    onward.on('error', () => socket.destroy());
    socket.on('error', () => onward.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    strangers,
    passed: () => passed,
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
