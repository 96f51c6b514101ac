import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { jsonSchemas } from './json-schemas.js';

const read = (path: string) => readFileSync(new URL(`../${path}`, import.meta.url), 'utf8');
const schemas = jsonSchemas();

/** Does an independent JSON Schema validator take the data? */
function accepts(name: keyof typeof schemas, data: unknown): boolean {
  return new Ajv2020().compile(schemas[name])(data);
}

test.each(Object.entries(schemas))(
  'the published schema of %s is current (else: npm run schemas)',
  (name, schema) => {
    expect(JSON.parse(read(`schemas/${name}.schema.json`))).toEqual(JSON.parse(JSON.stringify(schema)));
  },
);

test.each([
  ['session', 'session.yaml'],
  ['result', 'result.json'],
  ['comparison', 'compare.json'],
  ['preview', 'preview.json'],
] as const)('a validator takes the example of %s', (name, file) => {
  expect(accepts(name, parse(read(`examples/${file}`)))).toBe(true);
});

describe('a validator refuses a session with', () => {
  test.each([
    ['a bare number for a length', 'tube-length: 150 mm', 'tube-length: 150'],
    ['an unknown unit', 'tube-length: 150 mm', 'tube-length: 150 yd'],
    ['a misspelt field', 'tube-length:', 'tube-lenght:'],
    ['an unknown kind', 'kind: bare', 'kind: blank'],
    ['another version', 'session/2', 'session/3'],
  ])('%s', (_, from, to) => {
    const text = read('examples/session.yaml');
    expect(text).toContain(from);
    expect(accepts('session', parse(text.replace(from, to)))).toBe(false);
  });
});
