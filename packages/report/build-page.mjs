// Bundles the page's client script into one plain script that the report inlines: dist/client/main.js → dist/client.js.
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

await build({
  configFile: false,
  logLevel: 'warn',
  root: here('.'),
  publicDir: false,
  build: {
    outDir: here('dist'),
    emptyOutDir: false,
    target: 'es2022',
    lib: {
      entry: here('dist/client/main.js'),
      formats: ['iife'],
      name: 'twolampPage',
      fileName: () => 'client.js',
    },
  },
});
