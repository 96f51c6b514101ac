import { z } from 'zod';

/** One code of the table: what its findings are about, what they mean, and their values. */
interface FindingDefinition {
  readonly about: z.ZodType<string>;
  /** In English, for the published schema; the sentences for users stand in the report package. */
  readonly meaning: string;
  readonly values: Readonly<Record<string, z.ZodType>>;
}

/** Codes with their definitions. */
export type FindingTable = Readonly<Record<string, FindingDefinition>>;

type About<D extends FindingDefinition> = z.output<D['about']>;
type Values<D extends FindingDefinition> = {
  -readonly [V in keyof D['values']]: z.output<D['values'][V]>;
};

/** The finding with this code of a table. */
export interface FindingOf<T extends FindingTable, C extends keyof T> {
  code: C;
  about: About<T[C]>;
  values: Values<T[C]>;
}

/** Any finding of a table. */
export type FindingIn<T extends FindingTable> = {
  [C in keyof T & string]: FindingOf<T, C>;
}[keyof T & string];

/** One code of the table of reasons: why a tube counts as faulty. */
type ReasonDefinition = Omit<FindingDefinition, 'about'>;
export type ReasonTable = Readonly<Record<string, ReasonDefinition>>;

/** The reason with this code of a table. */
export interface ReasonOf<T extends ReasonTable, C extends keyof T> {
  code: C;
  values: { -readonly [V in keyof T[C]['values']]: z.output<T[C]['values'][V]> };
}

/** Any reason of a table. */
export type ReasonIn<T extends ReasonTable> = {
  [C in keyof T & string]: ReasonOf<T, C>;
}[keyof T & string];

/** About a part of the file, named as its field. */
export const part = <const P extends readonly [string, ...string[]]>(...parts: P) => z.enum(parts);

/** About one photo. */
export const photo = z.string().describe('photo, named as in the session');

/** About what the session states: one of its fields, or a photo. */
export const stated = z
  .string()
  .describe(
    'field of session.yaml, such as array.tube-length or shots[3].distance (counted from 1), or a photo',
  );

/** How many. */
export const count = (meaning: string) => z.int().min(0).describe(meaning);

/** A number whose unit the value's name ends in; without one it has none. */
export const number = (meaning: string) => z.number().describe(meaning);

/** Text that is shown as it stands: the name of a criterion, a stated value. */
export const text = (meaning: string) => z.string().describe(meaning);

export const yesNo = (meaning: string) => z.boolean().describe(meaning);

export const choice = <const C extends readonly [string, ...string[]]>(meaning: string, choices: C) =>
  z.enum(choices).describe(meaning);

const placeFields = z.strictObject({
  cell: z.int().min(1),
  row: z.int().min(1).nullable(),
  column: z.int().min(1).nullable(),
});

/** One cell: its number in reading order, and row and column where the array has them. */
export const place = (meaning: string) => placeFields.describe(meaning);
export const places = (meaning: string) => z.array(placeFields).describe(meaning);
export type FindingPlace = z.infer<typeof placeFields>;

/** The schema of any finding of a table; the type is worked out by {@link FindingIn}. */
export function findingSchema<T extends FindingTable>(table: T): z.ZodType<FindingIn<T>> {
  const branches = Object.entries(table).map(([code, { about, meaning, values }]) =>
    z.strictObject({ code: z.literal(code), about, values: z.strictObject(values) }).describe(meaning),
  );
  return oneByCode(branches) as unknown as z.ZodType<FindingIn<T>>;
}

/** The schema of any reason of a table; likewise. */
export function reasonSchema<T extends ReasonTable>(table: T): z.ZodType<ReasonIn<T>> {
  const branches = Object.entries(table).map(([code, { meaning, values }]) =>
    z.strictObject({ code: z.literal(code), values: z.strictObject(values) }).describe(meaning),
  );
  return oneByCode(branches) as unknown as z.ZodType<ReasonIn<T>>;
}

type Branch = z.core.$ZodTypeDiscriminable;

function oneByCode(branches: readonly Branch[]): z.ZodType {
  return z.discriminatedUnion('code', branches as [Branch, ...Branch[]], {
    error: 'a code of the table of findings, see the published schema',
  });
}
