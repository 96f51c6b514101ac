// Writes the published JSON Schemas from the built package: run by `npm run schemas`.
import { mkdirSync, writeFileSync } from 'node:fs';
import { jsonSchemas } from './dist/index.js';

const folder = new URL('schemas/', import.meta.url);
mkdirSync(folder, { recursive: true });
for (const [name, schema] of Object.entries(jsonSchemas())) {
  writeFileSync(new URL(`${name}.schema.json`, folder), `${JSON.stringify(schema, null, 2)}\n`);
}
