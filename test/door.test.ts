import { randomBytes } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import { connect } from 'node:net';
import sharp from 'sharp';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { type Deliver, type Door, openDoor } from '../packages/page/src/server/door.js';
import { DOOR_LIMITS, type DoorLimits } from '../packages/page/src/server/door-limits.js';
import { doorAddress } from '../packages/page/src/server/interfaces.js';

const HOST = '127.0.0.1';
const VERDICT = { good: true, says: [], next: null };

let door: Door | undefined;
afterEach(() => door?.close());

async function opened(limits: Partial<DoorLimits> = {}, deliver?: Deliver) {
  const delivered = vi.fn<Deliver>(deliver ?? (async () => VERDICT));
  door = await openDoor(HOST, delivered, () => {}, { ...DOOR_LIMITS, ...limits });
  const { origin, pathname } = new URL(door.address);
  return { delivered, origin, base: pathname, address: door.address };
}

const jpeg = () =>
  sharp({ create: { width: 64, height: 48, channels: 3, background: '#888' } })
    .jpeg()
    .toBuffer();

function form(bytes: Uint8Array<ArrayBuffer>, name = 'a.jpg'): FormData {
  const data = new FormData();
  data.append('photo', new Blob([bytes]), name);
  return data;
}

const send = (address: string, bytes: Uint8Array, name?: string) =>
  fetch(`${address}photo`, { method: 'POST', body: form(new Uint8Array(bytes), name) });

/** What a server answers to a path that no client tidies up first. */
function raw(origin: string, path: string, headers: Record<string, string> = {}): Promise<number> {
  return new Promise((resolve, reject) => {
    const { hostname, port } = new URL(origin);
    const request = httpRequest({ hostname, port, path, headers }, (response) => {
      response.resume();
      resolve(response.statusCode!);
    });
    request.on('error', reject);
    request.end();
  });
}

describe('who gets in', () => {
  test('a photo under the key is delivered, under a name of the door’s own', async () => {
    const { address, delivered } = await opened();
    const answer = await send(address, await jpeg(), '../../etc/passwd.jpg');
    expect(answer.status).toBe(200);
    expect(await answer.json()).toEqual(VERDICT);
    expect(delivered).toHaveBeenCalledOnce();
    expect(delivered.mock.calls[0]![0]).toBe('phone-1.jpg');
  });

  test('the phone’s page is there, with all it is made of', async () => {
    const { address } = await opened();
    const page = await fetch(address);
    expect(page.status).toBe(200);
    expect(page.headers.get('content-security-policy')).toMatch(/^default-src 'none'; script-src 'self'/);
    const parts = [...(await page.text()).matchAll(/(?:src|href)="(\.[^"]+)"/g)].map(([, path]) => path!);
    expect(parts.length).toBeGreaterThan(2);
    for (const path of parts) expect((await fetch(new URL(path, address))).status).toBe(200);
  });

  test('every opening has a key of its own, 128 bits long', async () => {
    const first = (await opened()).base;
    await door!.close();
    const second = (await opened()).base;
    expect(first).not.toBe(second);
    expect(Buffer.from(first.slice(1, -1), 'base64url')).toHaveLength(16);
  });

  test.each(['', 'photo', 'wrong/', `${randomBytes(16).toString('base64url')}/photo`])(
    'nothing is there at /%s',
    async (path) => {
      const { origin, delivered } = await opened();
      for (const method of ['GET', 'POST']) {
        const answer = await fetch(`${origin}/${path}`, {
          method,
          ...(method === 'POST' ? { body: 'x' } : {}),
        });
        expect(answer.status).toBe(404);
        expect(await answer.json()).toEqual({ says: 'There is nothing here.' });
      }
      expect(delivered).not.toHaveBeenCalled();
    },
  );

  test('another host name is refused, so that a foreign page can’t send a browser here', async () => {
    const { origin, base } = await opened();
    expect(await raw(origin, base, { host: 'bench.example' })).toBe(404);
  });
});

test.each([
  '../package.json',
  '..%2f..%2fpackage.json',
  'assets/../../../package.json',
  'assets/..%5c..%5cpackage.json',
  'assets/',
  'assets',
  'index.html',
  'service-worker.js',
  '%00',
  'assets/%2e%2e/%2e%2e/server/door.js',
])('the path %s leads nowhere', async (path) => {
  const { origin, base } = await opened();
  expect(await raw(origin, `${base}${path}`)).toBeGreaterThanOrEqual(400);
});

describe('what gets in', () => {
  test.each([
    ['text', Buffer.from('no photo at all, but long enough to be looked at')],
    ['a page', Buffer.from('<!doctype html><script>alert(1)</script>'.padEnd(200))],
    ['a program', Buffer.concat([Buffer.from([0x7f, 0x45, 0x4c, 0x46]), Buffer.alloc(200)])],
    ['nothing', Buffer.alloc(0)],
  ])('%s is refused', async (_, bytes) => {
    const { address, delivered } = await opened();
    const answer = await send(address, bytes, 'photo.jpg');
    expect(answer.status).toBe(415);
    expect(delivered).not.toHaveBeenCalled();
  });

  test.each([
    ['as long as it says', 'Content-Length: 1073741824', 413],
    ['in pieces that are no pieces', 'Transfer-Encoding: chunked', 400],
  ])('a gigabyte %s is refused long before it is sent', async (_, length, code) => {
    const { origin, base, delivered } = await opened();
    const { hostname, port } = new URL(origin);
    let sent = 0;
    const status = await new Promise<string>((resolve) => {
      const socket = connect(Number(port), hostname);
      let answer = '';
      socket.on('data', (data) => (answer += data));
      socket.on('close', () => resolve(answer.split('\r\n', 1)[0]!));
      socket.on('error', () => {});
      socket.write(
        `POST ${base}photo HTTP/1.1\r\nHost: ${hostname}:${port}\r\nContent-Type: multipart/form-data; boundary=x\r\n${length}\r\n\r\n` +
          '--x\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\nContent-Type: image/jpeg\r\n\r\n',
      );
      const block = Buffer.alloc(65_536, 0xff);
      const pump = (): void => {
        while (!socket.destroyed && sent < 2 ** 30) {
          sent += block.length;
          if (!socket.write(block)) {
            socket.once('drain', pump);
            return;
          }
        }
      };
      pump();
      setTimeout(() => socket.destroy(), 8000);
    });
    expect(status).toContain(` ${code} `);
    expect(sent).toBeLessThan(2 ** 26);
    expect(delivered).not.toHaveBeenCalled();
  });

  test('a photo of no stated length is refused', async () => {
    const { origin, base, delivered } = await opened();
    const { hostname, port } = new URL(origin);
    const status = await new Promise((resolve, reject) => {
      const request = httpRequest({ hostname, port, path: `${base}photo`, method: 'POST' }, (answer) => {
        answer.resume();
        resolve(answer.statusCode);
      });
      request.on('error', reject);
      request.setHeader('content-type', 'multipart/form-data; boundary=x');
      request.write('--x\r\n'); // sent in chunks
    });
    expect(status).toBe(411);
    expect(delivered).not.toHaveBeenCalled();
  });

  test('a form of a hundred photos gives one at most', async () => {
    const { address, delivered } = await opened();
    const bytes = new Uint8Array(await jpeg());
    const data = new FormData();
    for (let i = 0; i < 100; i++) data.append(`photo${i}`, new Blob([bytes]), `${i}.jpg`);
    await fetch(`${address}photo`, { method: 'POST', body: data }).catch(() => null);
    expect(delivered.mock.calls.length).toBeLessThanOrEqual(1);
    expect((await send(address, bytes)).status).toBe(200);
  });

  test('after so many photos no more are taken', async () => {
    const { address } = await opened({ photos: 2 });
    const bytes = await jpeg();
    const statuses = [];
    for (let i = 0; i < 3; i++) statuses.push((await send(address, bytes)).status);
    expect(statuses).toEqual([200, 200, 429]);
  });

  test('without a page the phone is told to open it', async () => {
    const { address } = await opened({}, () => null);
    const answer = await send(address, await jpeg());
    expect(answer.status).toBe(409);
    expect(await answer.json()).toEqual({
      says: 'The bench isn’t open on the laptop: open it, then send again.',
    });
  });
});

describe('how much at a time', () => {
  test('1,000 connections at once are bounded, and the door still answers afterwards', async () => {
    const { origin, address } = await opened();
    const { hostname, port } = new URL(origin);
    const sockets = await Promise.all(
      Array.from(
        { length: 1000 },
        () =>
          new Promise<ReturnType<typeof connect>>((resolve) => {
            const socket = connect(Number(port), hostname);
            socket.on('error', () => {});
            socket.once('connect', () => setTimeout(() => resolve(socket), 300));
            socket.once('close', () => resolve(socket));
          }),
      ),
    );
    const open = () => sockets.filter((socket) => !socket.destroyed).length;
    await expect.poll(open, { timeout: 5000 }).toBeLessThanOrEqual(DOOR_LIMITS.connections);
    for (const socket of sockets) socket.destroy();
    await expect.poll(async () => (await send(address, await jpeg()).catch(() => null))?.status).toBe(200);
  });

  test('a third photo at one time waits its turn', async () => {
    let release: () => void = () => {};
    const held = new Promise<void>((resolve) => (release = resolve));
    const { address, delivered } = await opened({}, async () => held.then(() => VERDICT));
    const bytes = await jpeg();
    const first = [send(address, bytes), send(address, bytes)];
    await expect.poll(() => delivered.mock.calls.length).toBe(2);
    expect((await send(address, bytes)).status).toBe(503);
    release();
    expect((await Promise.all(first)).map(({ status }) => status)).toEqual([200, 200]);
  });

  test('a sender who never comes to an end is cut off', async () => {
    const { origin, base, delivered } = await opened({ requestMs: 1500, headersMs: 1000 });
    const { hostname, port } = new URL(origin);
    const answer = await new Promise<string>((resolve) => {
      const socket = connect(Number(port), hostname);
      let text = '';
      socket.on('data', (data) => (text += data));
      socket.on('close', () => resolve(text));
      socket.on('error', () => {});
      socket.write(
        `POST ${base}photo HTTP/1.1\r\nHost: ${hostname}:${port}\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 100000\r\n\r\n`,
      );
      const drip = setInterval(() => socket.write('-'), 200);
      socket.on('close', () => clearInterval(drip));
    });
    expect(answer).toMatch(/^HTTP\/1\.1 (408|400)|^$/);
    expect(delivered).not.toHaveBeenCalled();
  });

  test('an idle door closes', async () => {
    const closed = vi.fn();
    door = await openDoor(HOST, async () => VERDICT, closed, { ...DOOR_LIMITS, idleMs: 50 });
    const { address } = door;
    await expect.poll(() => closed.mock.calls.length).toBe(1);
    await expect(fetch(address)).rejects.toThrow();
  });
});

describe('the address of the door', () => {
  test.each([
    { asked: true as const, addresses: ['192.0.2.7'], address: '192.0.2.7' },
    { asked: '192.0.2.8', addresses: ['192.0.2.7', '192.0.2.8'], address: '192.0.2.8' },
  ])('$asked of $addresses is $address', ({ asked, addresses, address }) => {
    expect(doorAddress(asked, addresses)).toBe(address);
  });

  test.each([
    { asked: true as const, addresses: [], says: 'in no local network' },
    {
      asked: true as const,
      addresses: ['192.0.2.7', '192.0.2.8'],
      says: '--phone 192.0.2.7 or --phone 192.0.2.8',
    },
    { asked: '203.0.113.1', addresses: ['192.0.2.7'], says: 'no address of this machine' },
  ])('$asked of $addresses is refused', ({ asked, addresses, says }) => {
    expect(() => doorAddress(asked, addresses)).toThrow(says);
  });
});
