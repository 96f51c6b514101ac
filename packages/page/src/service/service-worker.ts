// Keeps the page's files so that it opens without a network, and hands out reports from the browser's own storage.

const worker = self as unknown as ServiceWorkerGlobalScope;

// Put in by build/offline-files.mjs.
const FIRST = '@first@' as unknown as readonly string[];
const LATER = '@later@' as unknown as readonly string[];
const CACHE = 'twolamp-@version@';
/** Reports wait here for the tab that shows them; filled by the page. */
const REPORTS = 'twolamp-reports';

/** A report holds its own script; it may run it, and nothing else: no request, no form, no access to the page's storage. */
const REPORT_POLICY =
  "sandbox allow-scripts allow-modals allow-downloads; default-src 'none'; img-src data: blob:; style-src 'unsafe-inline'; script-src 'unsafe-inline'";

const addressOf = (name: string) => new URL(name, worker.registration.scope).href;

async function keep(names: readonly string[], told?: (done: number) => void): Promise<void> {
  const cache = await caches.open(CACHE);
  for (const [i, name] of names.entries()) {
    if ((await cache.match(addressOf(name))) === undefined) await cache.add(addressOf(name));
    told?.(i + 1);
  }
}

worker.addEventListener('install', (event) => {
  event.waitUntil(keep(FIRST).then(() => worker.skipWaiting()));
});

worker.addEventListener('activate', (event) => {
  const tidy = async () => {
    for (const name of await caches.keys()) if (name !== CACHE && name !== REPORTS) await caches.delete(name);
    await worker.clients.claim();
  };
  event.waitUntil(tidy());
});

worker.addEventListener('message', (event) => {
  if (event.data !== 'keep all') return;
  const port = event.ports[0];
  const names = [...FIRST, ...LATER];
  const work = keep(names, (done) => port?.postMessage({ done, of: names.length })).catch(() =>
    port?.postMessage({ done: 0, of: names.length }),
  );
  event.waitUntil(work);
});

async function report(address: string): Promise<Response> {
  const cache = await caches.open(REPORTS);
  const kept = await cache.match(address);
  if (kept === undefined)
    return new Response('This report is gone: open it again from the bench.', { status: 404 });
  return new Response(await kept.blob(), {
    headers: { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': REPORT_POLICY },
  });
}

async function fromCache(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request.url);
  if (kept !== undefined) return kept;
  const fresh = await fetch(request);
  const name = request.url.slice(worker.registration.scope.length);
  if (fresh.ok && LATER.includes(name)) await cache.put(request, fresh.clone());
  return fresh;
}

/** The page as it is now: one from the cache would ask for files that a newer version has replaced. */
async function freshPage(request: Request): Promise<Response> {
  const fresh = await fetch(request).catch(() => null);
  if (fresh?.ok) return fresh;
  const cache = await caches.open(CACHE);
  return (await cache.match(addressOf('index.html'))) ?? fresh ?? Response.error();
}

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(worker.registration.scope)) return;
  const name = new URL(request.url).pathname.slice(new URL(worker.registration.scope).pathname.length);
  if (name.startsWith('reports/')) event.respondWith(report(request.url));
  else if (name === '' || name === 'index.html') event.respondWith(freshPage(request));
  else if (name.startsWith('assets/')) event.respondWith(fromCache(request));
});
