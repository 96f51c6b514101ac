// Tells the service worker which files the page is made of: those needed to open it, and those needed later.
import { createHash } from 'node:crypto';

/** Texts in service-worker.ts that stand for the lists. */
const PLACES = { first: /["'`]@first@["'`]/, later: /["'`]@later@["'`]/, version: '@version@' };

export function offlineFiles() {
  return {
    name: 'offline-files',
    generateBundle(_, bundle) {
      const worker = bundle['service-worker.js'];
      if (worker === undefined) return;
      const first = new Set(['index.html']);
      const add = (name) => {
        const chunk = bundle[name];
        if (chunk === undefined || first.has(name)) return;
        first.add(name);
        for (const other of [...(chunk.imports ?? []), ...(chunk.viteMetadata?.importedCss ?? [])])
          add(other);
      };
      for (const [name, chunk] of Object.entries(bundle))
        if (chunk.isEntry && chunk.name === 'index') add(name);
      const all = Object.keys(bundle).filter(
        (name) => name !== 'service-worker.js' && !/^phone|phone-/.test(name),
      );
      const hash = createHash('sha256');
      for (const name of all.toSorted())
        hash.update(name).update(bundle[name].code ?? bundle[name].source ?? '');
      for (const place of Object.values(PLACES)) {
        if (worker.code.search(place) < 0) throw new Error(`service-worker.ts has no place ${place}`);
      }
      worker.code = worker.code
        .replace(PLACES.first, JSON.stringify([...first]))
        .replace(PLACES.later, JSON.stringify(all.filter((name) => !first.has(name))))
        .replace(PLACES.version, hash.digest('hex').slice(0, 12));
    },
  };
}
