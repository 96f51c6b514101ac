import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import fastifyStatic from '@fastify/static';
import { InputError } from '@twolamp/session';
import fastify from 'fastify';

const SITE = fileURLToPath(new URL('../../dist/site', import.meta.url));
/** Only this machine can reach the bench. */
const THIS_MACHINE = '127.0.0.1';

/** Scripts, pictures and requests from here alone; the page's own tag says the same for any other web space. */
const POLICY =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' data: blob:; media-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

const HEADERS = {
  'content-security-policy': POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
};

/** A bench that is being served. */
export interface Bench {
  readonly address: string;
  close(): Promise<void>;
}

/**
 * Serves the bench's files to this machine.
 *
 * @param port - 0 for any that is free
 * @throws InputError where the port can't be had
 */
export async function serveBench(port: number): Promise<Bench> {
  const server = fastify();
  server.addHook('onSend', async (_, reply) => {
    reply.headers(HEADERS);
  });
  await server.register(fastifyStatic, { root: SITE, cacheControl: false });
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
  const { port: taken } = server.server.address() as AddressInfo;
  return { address: `http://${THIS_MACHINE}:${taken}/`, close: () => server.close() };
}
