import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

function read(path: string): string {
  return readFileSync(fileURLToPath(new URL(path, import.meta.url)), 'utf8');
}

/** The page's style sheet. */
export function pageStyle(): string {
  return read('../../assets/page.css');
}

/** The page's own script, bundled by build-page.mjs. */
export function clientScript(): string {
  return read('../../dist/client.js');
}

/** The plot library, whole. */
export function plotScript(): string {
  const path = createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min');
  return readFileSync(path, 'utf8');
}
