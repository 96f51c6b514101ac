/** One number of a tuning file, and the factor by which it changes. */
export interface Change {
  readonly name: string;
  readonly by: number;
}

/** Counts stay whole; those of 3 and more change by 1 at least. */
const CHANGED = `(value, by) => {
  const one = (x) => (Number.isInteger(x) && Math.abs(x) > 2 ? Math.round(x * by) : x * by);
  return Array.isArray(value) ? value.map(one) : one(value);
}`;

/** The source of a tuning file, TypeScript or JavaScript, in which one number has changed. */
export function withChange(source: string, { name, by }: Change): string {
  const [first, ...fields] = name.split('.');
  const place = first + fields.map((field) => `[${JSON.stringify(field)}]`).join('');
  return `${source.replaceAll('export const ', 'export let ')}\n${place} = (${CHANGED})(${place}, ${by});\n`;
}
