import { type AnyFinding, jsonSchemas, type Reason } from '@twolamp/session';
import { findingSentence, reasonsText } from '@twolamp/words';
import { heldText } from './page-text.js';

/** As much of a JSON Schema as values of findings have. */
interface Schema {
  readonly const?: string;
  readonly oneOf?: readonly Schema[];
  readonly type?: string;
  readonly enum?: readonly string[];
  readonly anyOf?: readonly Schema[];
  readonly items?: Schema;
  readonly properties?: Readonly<Record<string, Schema>>;
}

/** Ratios at which sentences say what may have been mixed up: units, a half, a digit. */
const FACTORS = [
  1.3,
  0.5,
  2,
  10,
  0.1,
  3.2808,
  1 / 3.2808,
  25.4,
  1 / 25.4,
  2.54,
  1 / 2.54,
  1000,
  0.001,
  100,
  0.01,
  12,
  1 / 12,
];

/** Values that a sentence might tell differently, the usual one first. */
function samples(name: string, schema: Schema): unknown[] {
  if (schema.anyOf !== undefined) return schema.anyOf.flatMap((one) => samples(name, one));
  if (schema.enum !== undefined) return [...schema.enum];
  switch (schema.type) {
    case 'null':
      return [null];
    case 'boolean':
      return [true, false];
    case 'integer':
      return [3, 1, 0, 14];
    case 'number':
      if (/factor/i.test(name)) return FACTORS;
      return /uncertainty/i.test(name) ? [0.0123, 0.34] : [1.234, 0.0567, -2.5, 47.8];
    case 'string':
      return [/photo|shot/i.test(name) ? 'IMG_7.jpg' : `<${name}>`];
    case 'array': {
      const items = samples(name, schema.items!);
      const several = [0, 1, 2, 3].map((n) => items[n % items.length]);
      return [several.slice(0, 2), several.slice(0, 1), several, []];
    }
    case 'object': {
      const [row, column] = [4, 7];
      const place = { cell: 97, row, column };
      return schema.properties?.row === undefined
        ? [{}]
        : [place, { ...place, cell: 12, row: null, column: null }];
    }
    default:
      throw new TypeError(`no samples of ${JSON.stringify(schema)} for ${name}`);
  }
}

/** Values of a code: the usual ones, then each of the others in turn. */
function variants(values: Schema): Record<string, unknown>[] {
  const options = Object.entries(values.properties ?? {}).map(
    ([name, schema]) => [name, samples(name, schema)] as const,
  );
  const usual = Object.fromEntries(options.map(([name, [first]]) => [name, first]));
  return [
    usual,
    ...options.flatMap(([name, [, ...others]]) => others.map((other) => ({ ...usual, [name]: other }))),
  ];
}

/** Each code of a list with its sentences, each once. */
function allOf(
  codes: readonly Schema[],
  sentence: (code: string, values: Record<string, unknown>) => string,
): string {
  const byCode = new Map(codes.map(({ properties }) => [properties!.code!.const!, properties!.values!]));
  return [...byCode]
    .map(([code, values]) => {
      const sentences = variants(values).map((one) => `  ${sentence(code, one).replaceAll('\u00a0', ' ')}`);
      return [code, ...new Set(sentences)].join('\n');
    })
    .join('\n');
}

const { result, comparison, preview } = jsonSchemas() as Record<string, Schema>;
const codesOf = (file: Schema) => file.properties!.findings!.items!.oneOf!;

/* Every sentence about what was found, with every value that it may tell differently. */
heldText('sentences', () =>
  allOf(
    [result, comparison, preview].flatMap((file) => codesOf(file!)),
    (code, values) => findingSentence({ code, about: 'IMG_7.jpg', values } as unknown as AnyFinding),
  ),
);

heldText('reasons', () =>
  allOf(result!.properties!.cells!.items!.properties!.reasons!.items!.oneOf!, (code, values) =>
    reasonsText([{ code, values } as unknown as Reason]),
  ),
);
