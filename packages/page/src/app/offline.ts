/** How many of the page's files are kept for use without a network. */
interface Kept {
  readonly done: number;
  readonly of: number;
}

let ready: Promise<ServiceWorkerRegistration> | null = null;

/** Registers the service worker, where the browser lets one be: on https and on this machine. */
export function keepOffline(): void {
  if (!('serviceWorker' in navigator)) return;
  ready = navigator.serviceWorker
    .register(new URL('./service-worker.js', document.baseURI))
    .then(() => navigator.serviceWorker.ready);
  ready.catch(() => {});
}

/** Keeps all files, also those that are needed later; tells how far it is. */
export async function keepAll(told: (kept: Kept) => void): Promise<void> {
  const registration = await ready?.catch(() => null);
  const worker = registration?.active;
  if (!worker) return;
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = ({ data }) => told(data as Kept);
  worker.postMessage('keep all', [port2]);
}

/** Where the service worker finds reports. */
const REPORTS = 'twolamp-reports';

/**
 * An address at which a report opens, with its own content policy; null where no service worker serves the page.
 *
 * @param name - file name of the report
 */
export async function reportAddress(name: string, report: string): Promise<string | null> {
  if (!navigator.serviceWorker?.controller) return null;
  const address = new URL(`reports/${name}`, document.baseURI).href;
  const cache = await caches.open(REPORTS);
  await cache.put(address, new Response(report));
  return address;
}
