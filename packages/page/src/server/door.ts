import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import fastifyMultipart from '@fastify/multipart';
import fastifyStatic from '@fastify/static';
import { sniffPhotoType } from '@twolamp/photos';
import fastify, { type FastifyReply, type FastifyRequest } from 'fastify';
import { DOOR_LIMITS, type DoorLimits } from './door-limits.js';
import { HEADERS, PHONE_POLICY, SITE } from './site.js';

/** What the phone is told of its photo. */
export interface PhoneVerdict {
  readonly good: boolean;
  readonly says: readonly string[];
  /** What to shoot next, in words; null where nothing is left. */
  readonly next: string | null;
}

/** Takes a photo to the bench's page and brings its verdict; null where no page is open. */
export type Deliver = (name: string, photo: Buffer) => Promise<PhoneVerdict> | null;

/** The phone's door while it stands open. */
export interface Door {
  /** For the phone, key included. */
  readonly address: string;
  close(): Promise<void>;
}

/** What a form takes besides the photo in it. */
const FORM_BYTES = 4096;
/** The phone's page and what it is made of. */
const PHONE_FILES = /^\/?(?:phone\.html|assets\/[\w.-]+)?$/;
/** 128 random bits. */
const KEY_BYTES = 16;

/** Compares in constant time, so that a wrong key's first right letters can't be found out by the clock. */
function isKey(given: string, key: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(key)];
  return a.length === b.length && timingSafeEqual(a, b);
}

/**
 * Opens the phone's door: a server of its own on one address of the local network, which takes photos under a key that
 * holds for this opening alone, and answers with the verdict. It writes nothing to disk, uses no name it is given, lists
 * nothing and gives nothing back.
 *
 * @param host - address of this machine
 * @param deliver - takes a photo to the page
 * @param onIdle - called when the door has closed itself after an idle hour
 */
export async function openDoor(
  host: string,
  deliver: Deliver,
  onIdle: () => void,
  limits: DoorLimits = DOOR_LIMITS,
): Promise<Door> {
  const key = randomBytes(KEY_BYTES).toString('base64url');
  const server = fastify({
    requestTimeout: limits.requestMs,
    connectionTimeout: limits.requestMs,
    keepAliveTimeout: 5000,
    bodyLimit: limits.photoBytes,
    routerOptions: { maxParamLength: 200 },
    http: { headersTimeout: limits.headersMs, connectionsCheckingInterval: Math.min(2000, limits.headersMs) },
  });
  server.server.maxConnections = limits.connections;
  const tooLarge = `The photo is larger than ${limits.photoBytes / 2 ** 20} MB: send it as a JPEG.`;
  let uploads = 0;
  let taken = 0;
  const idle = setTimeout(closeIdle, limits.idleMs);

  function closeIdle(): void {
    server.close().then(onIdle);
  }

  const refuse = (reply: FastifyReply, status: number, says: string) => reply.code(status).send({ says });

  server.addHook('onRequest', async (request, reply) => {
    const { port } = server.server.address() as AddressInfo;
    const first = request.url.slice(1).split('/', 1)[0] ?? '';
    // The host tells whether a foreign page sent a browser here under a name of its own.
    if (!isKey(first, key) || request.headers.host !== `${host}:${port}`) {
      await refuse(reply, 404, 'There is nothing here.');
      return;
    }
    if (request.method !== 'POST') return;
    // Refused before the first byte of it is read: browsers state how long a form is.
    const length = request.headers['content-length'];
    if (length === undefined)
      await refuse(reply, 411, 'The photo’s length must be stated: send it with a browser.');
    else if (Number(length) > limits.photoBytes + FORM_BYTES) await refuse(reply, 413, tooLarge);
  });
  server.addHook('onResponse', async (request, reply) => {
    // What is still being sent of a refused photo isn't waited for.
    if (reply.statusCode >= 400 && !request.raw.complete) request.raw.destroy();
  });
  server.addHook('onSend', async (_, reply) => {
    reply.headers({ ...HEADERS, 'content-security-policy': PHONE_POLICY, 'cache-control': 'no-store' });
  });
  server.setNotFoundHandler((_, reply) => refuse(reply, 404, 'There is nothing here.'));
  server.setErrorHandler((error: { statusCode?: number }, _, reply) => {
    const status = error.statusCode ?? 500;
    const says = status === 413 ? tooLarge : 'The photo did not arrive whole: send it again.';
    return refuse(reply, Math.min(status, 500), says);
  });
  await server.register(fastifyMultipart, {
    limits: { fileSize: limits.photoBytes, files: 1, fields: 0, parts: 1, headerPairs: 20 },
  });
  await server.register(fastifyStatic, {
    root: SITE,
    prefix: `/${key}/`,
    index: 'phone.html',
    allowedPath: (path) => PHONE_FILES.test(path),
  });

  async function takePhoto(request: FastifyRequest, reply: FastifyReply): Promise<unknown> {
    const part = await request.file();
    if (part === undefined) return refuse(reply, 400, 'No photo came: send it again.');
    const photo = await part.toBuffer();
    const type = sniffPhotoType(photo);
    if (type === null) {
      return refuse(
        reply,
        415,
        'This is no photo that can be read: send a JPEG, PNG, TIFF, WebP, AVIF or HEIC.',
      );
    }
    const verdict = deliver(`phone-${++taken}.${type === 'jpeg' ? 'jpg' : type}`, photo);
    if (verdict === null)
      return refuse(reply, 409, 'The bench isn’t open on the laptop: open it, then send again.');
    idle.refresh();
    return await verdict;
  }

  server.post(`/${key}/photo`, async (request, reply) => {
    if (taken >= limits.photos)
      return refuse(reply, 429, 'Enough photos for one session: start the bench anew.');
    if (uploads >= limits.uploads) return refuse(reply, 503, 'Another photo is on its way: wait a moment.');
    uploads++;
    try {
      return await takePhoto(request, reply);
    } finally {
      uploads--;
    }
  });

  await server.listen({ host, port: 0 });
  const { port } = server.server.address() as AddressInfo;
  return {
    address: `http://${host}:${port}/${key}/`,
    async close() {
      clearTimeout(idle);
      server.server.closeAllConnections();
      await server.close();
    },
  };
}
