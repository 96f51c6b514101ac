import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { offlineFiles } from './build/offline-files.mjs';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

const { version } = JSON.parse(readFileSync(here('package.json'), 'utf8'));

// The bench as static files for any web space: addresses are relative, nothing is fetched from elsewhere.
export default defineConfig({
  root: here('src/app'),
  base: './',
  publicDir: false,
  define: { TWOLAMP_VERSION: JSON.stringify(version) },
  logLevel: 'warn',
  plugins: [offlineFiles()],
  worker: { format: 'es' },
  build: {
    outDir: here('dist/site'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0, // the content policy lets no data: address in where a file will do
    chunkSizeWarningLimit: 5000,
    reportCompressedSize: false,
    modulePreload: { polyfill: false }, // it would be an inline script
    rolldownOptions: {
      input: {
        index: here('src/app/index.html'),
        phone: here('src/app/phone.html'),
        'service-worker': here('src/service/service-worker.ts'),
      },
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
});
