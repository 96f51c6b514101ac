import type { AddressInfo } from 'node:net';
import fastifyStatic from '@fastify/static';
import fastifyWebsocket from '@fastify/websocket';
import { InputError } from '@twolamp/session';
import fastify from 'fastify';
import { toString as qrCode } from 'qrcode';
import { type Door, openDoor } from './door.js';
import { pageLink } from './page-link.js';
import { BENCH_POLICY, HEADERS, SITE } from './site.js';

/** Only this machine can reach the bench. */
const THIS_MACHINE = '127.0.0.1';
/** The page's answers are a few sentences. */
const LONGEST_ANSWER = 64 * 1024;

/** A bench that is being served. */
export interface Bench {
  readonly address: string;
  /** Where the phone gets in; null where no door was asked for. */
  readonly phone: string | null;
  close(): Promise<void>;
}

export interface BenchOptions {
  /** 0 for any that is free. */
  readonly port: number;
  /** Address of this machine on which the phone's door listens; null: none. */
  readonly phone: string | null;
}

async function listen(server: ReturnType<typeof fastify>, port: number): Promise<void> {
  try {
    await server.listen({ host: THIS_MACHINE, port });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code !== 'EADDRINUSE')
      throw new InputError('the bench', `it can't be served (${message})`, 'another --port');
    throw new InputError(
      'the bench',
      `port ${port} is taken, perhaps by a bench that is open at http://${THIS_MACHINE}:${port}/`,
      'that address in a browser, or --port 0 for another one',
    );
  }
}

/**
 * Serves the bench's files to this machine, and opens the phone's door where that is asked for.
 *
 * @throws InputError where the port can't be had
 */
export async function serveBench({ port, phone }: BenchOptions): Promise<Bench> {
  const server = fastify();
  let door: Door | null = null;
  const closeDoor = () => {
    door?.close();
    door = null;
  };
  const link = pageLink(closeDoor);
  const own = () => `${THIS_MACHINE}:${(server.server.address() as AddressInfo).port}`;

  server.addHook('onRequest', async (request, reply) => {
    // Pages of other sites must not reach the bench, under whatever name they call this machine.
    const { host, origin } = request.headers;
    if (host !== own() || (origin !== undefined && origin !== `http://${own()}`)) {
      await reply.code(403).send('This is another machine’s address.');
    }
  });
  server.addHook('onSend', async (_, reply) => {
    reply.headers({ ...HEADERS, 'content-security-policy': BENCH_POLICY });
  });
  await server.register(fastifyWebsocket, { options: { maxPayload: LONGEST_ANSWER } });
  await server.register(fastifyStatic, { root: SITE, cacheControl: false });
  server.get('/door', async () =>
    door === null
      ? { open: false }
      : { open: true, address: door.address, qr: await qrCode(door.address, { type: 'svg', margin: 1 }) },
  );
  server.get('/door/page', { websocket: true }, (socket) => {
    if (door === null) socket.close();
    else link.attach(socket);
  });

  await listen(server, port);
  if (phone !== null) door = await openDoor(phone, link.deliver, () => (door = null));
  return {
    address: `http://${own()}/`,
    phone: door?.address ?? null,
    async close() {
      closeDoor();
      server.server.closeAllConnections();
      await server.close();
    },
  };
}
