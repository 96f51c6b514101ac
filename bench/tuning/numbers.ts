import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

/** One number of a tuning file, or one list of numbers. */
export interface TunedNumber {
  /** Name, with the fields that lead to it where it is part of an object. */
  readonly name: string;
  readonly value: number | readonly number[];
  /** What the file says of it, on one line; empty where what it says of the one before holds for it too. */
  readonly about: string;
}

/** A tuning file. */
export interface TunedFolder {
  /** Its folder under packages, such as `measure/pointing`. */
  readonly folder: string;
  /** The source, and what it is compiled to. */
  readonly file: string;
  readonly url: string;
  /** What the file says of all its numbers. */
  readonly about: string;
  /** Numbers by the object that they stand in, '' for those that stand alone; with what the file says of the object. */
  readonly groups: readonly {
    readonly name: string;
    readonly about: string;
    readonly numbers: readonly TunedNumber[];
  }[];
}

function tuningFiles(packages: string): string[] {
  return readdirSync(packages).flatMap((name) =>
    readdirSync(join(packages, name, 'src'), { recursive: true, encoding: 'utf8' })
      .filter((path) => /(^|[/\\])tuning\.ts$/.test(path))
      .map((path) => join(packages, name, 'src', path)),
  );
}

/** A comment's text on one line. */
const plain = (comment: string) =>
  comment
    .replace(/^\/\*+|\*\/$/g, '')
    .replace(/\n\s*\*/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/** Where a name is declared in a source, looked for one field after the other; -1 where it isn't. */
function declaredAt(source: string, name: string): number {
  return name.split('.').reduce((from, part) => {
    const at =
      from < 0 ? -1 : source.slice(from).search(new RegExp(`(?<=^ *|[{,] |const )${part} ?[:=]`, 'm'));
    return at < 0 ? -1 : from + at;
  }, 0);
}

/** Text of the comment that stands before a name; empty where there is none. */
function commentBefore(source: string, name: string): string {
  const before = source
    .slice(0, Math.max(0, declaredAt(source, name)))
    .replace(/export const $/, '')
    .trimEnd();
  return before.endsWith('*/') ? plain(before.slice(before.lastIndexOf('/*'))) : '';
}

const isNumbers = (value: unknown): value is number | number[] =>
  typeof value === 'number' || (Array.isArray(value) && value.every((one) => typeof one === 'number'));

function numbersIn(source: string, value: unknown, name: string): TunedNumber[] {
  if (isNumbers(value)) return [{ name, value, about: commentBefore(source, name) }];
  if (typeof value !== 'object' || value === null) return [];
  const inside = Object.entries(value).flatMap(([key, inner]) => numbersIn(source, inner, `${name}.${key}`));
  // What stands above an object within an object is said of its numbers, the first one's row first.
  const about = name.includes('.') ? commentBefore(source, name) : '';
  return inside.map((one, n) =>
    n === 0 ? { ...one, about: [about, one.about].filter(Boolean).join(' ') } : one,
  );
}

/** All numbers of all tuning files, as compiled. @param packages - the folder of that name */
export async function tunedFolders(packages: string): Promise<TunedFolder[]> {
  const found = tuningFiles(packages).map(async (file): Promise<TunedFolder> => {
    const source = readFileSync(file, 'utf8');
    const url = pathToFileURL(file.replace(/([/\\])src([/\\])/, '$1dist$2').replace(/ts$/, 'js')).href;
    const folder = file
      .slice(packages.length + 1)
      .replace(/([/\\])src[/\\]/, '/')
      .replace(/[/\\]?tuning\.ts$/, '')
      .replaceAll('\\', '/');
    // An imported module lists its names in alphabetical order; the source has them as they belong together.
    const values = Object.entries((await import(url)) as Record<string, unknown>).sort(
      ([one], [other]) => declaredAt(source, one) - declaredAt(source, other),
    );
    const alone = values.filter(([, value]) => isNumbers(value));
    const objects = values.filter(([, value]) => !isNumbers(value));
    const head = /^\/\*[^*][\s\S]*?\*\//.exec(source)?.[0] ?? '';
    return {
      folder,
      file,
      url,
      about: plain(head),
      groups: [
        { name: '', about: '', numbers: alone.flatMap(([name, value]) => numbersIn(source, value, name)) },
        ...objects.map(([name, value]) => ({
          name,
          about: plain(head) === commentBefore(source, name) ? '' : commentBefore(source, name),
          numbers: numbersIn(source, value, name),
        })),
      ].filter(({ numbers }) => numbers.length > 0),
    };
  });
  return Promise.all(found);
}
