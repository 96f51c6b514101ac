import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { register } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import { deserialize, serialize } from 'node:v8';
import { type Survey, surveyShots } from '@twolamp/cells';
import { readPhoto } from '@twolamp/photos';
import { type Result, readSession, type Session } from '@twolamp/session';
import { type TunedNumber, tunedNumbers, VARIED_PACKAGES } from './constants.js';
import { type Move, moveBetween } from './figures.js';

const HELP = `What each tuned number of measure, resolving and consistency moves when it changes by a factor 1.5 either way.

node bench/dist/tuning/main.js --keep FOLDER [--only TEXT] [--page FILE] SESSION.yaml ...

Photos are surveyed once; their surveys and what each number moves are kept in FOLDER, so that a second run goes on where the
first one ended. --only takes numbers whose folder or name holds TEXT. --page writes the list of all tuned numbers.
`;

const FACTOR = 1.5;
/** A change below this share of a figure's uncertainty is none. */
const NOTICED = 0.1;
/** A change of an uncertainty below this factor is none. */
const NOTICED_UNCERTAINTY = 1.05;
const PACKAGES = join(import.meta.dirname, '../../../packages');

interface Kept {
  readonly session: Session;
  readonly survey: Survey;
}

type Measure = (session: Session, survey: Survey) => { readonly result: Result };
type Moves = Record<string, { readonly up: Move; readonly down: Move }>;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    keep: { type: 'string' },
    only: { type: 'string', default: '' },
    page: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

/** Without functions, which can't be stored and which no conclusion needs. */
function plain<T>(value: T): T {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value) || value instanceof Set)
    return value;
  if (Array.isArray(value)) return value.map(plain) as T;
  const entries = Object.entries(value).filter(([, inner]) => typeof inner !== 'function');
  return Object.fromEntries(entries.map(([key, inner]) => [key, plain(inner)])) as T;
}

async function keptSurvey(path: string, folder: string): Promise<Kept> {
  const file = join(folder, `${path.replace(/\W+/g, '-')}.survey`);
  if (!existsSync(file)) {
    const session = readSession(readFileSync(path, 'utf8'), basename(path));
    const load = (shot: { photo: string }) =>
      readPhoto(join(dirname(path), shot.photo), { tone: 'srgb', channel: 'luminance' });
    const survey = plain(await surveyShots(session, load, () => {}));
    writeFileSync(file, serialize({ session, survey }));
  }
  return deserialize(readFileSync(file)) as Kept;
}

async function measureWith(query: string): Promise<Measure> {
  const entry = new URL('measure/dist/measure.js', `file://${PACKAGES}/`).href;
  return (await import(`${entry}?vary=${query}`)).measureSurvey;
}

async function moveOf(
  { url, name }: TunedNumber,
  by: number,
  kept: readonly Kept[],
  base: readonly Result[],
) {
  const query = new URLSearchParams({ file: url, name, by: String(by) });
  const measure = await measureWith(`1&${query}`);
  return moveBetween(
    base,
    kept.map(({ session, survey }) => measure(session, survey).result),
  );
}

function words({ most, kind, uncertainty, uncertaintyKind, known, faults }: Move): string {
  const parts = [
    most > NOTICED ? `${kind} by ${most.toFixed(1)} u` : '',
    uncertainty > NOTICED_UNCERTAINTY ? `u of ${uncertaintyKind} × ${uncertainty.toFixed(2)}` : '',
    known > 0 ? `${known} figures come or go` : '',
    faults > 0 ? `${faults} faults` : '',
  ];
  return parts.filter((part) => part !== '').join(', ') || 'nothing';
}

function page(numbers: readonly TunedNumber[], moves: Moves, sessions: number): string {
  const rows = numbers.map(({ folder, name, value, about }) => {
    const found = moves[`${folder} ${name}`];
    const moved = found ? `× 1.5: ${words(found.up)}; ÷ 1.5: ${words(found.down)}` : 'not varied';
    return `| ${folder} | \`${name}\` | ${value} | ${about.replaceAll('|', '\\|')} | ${moved} |`;
  });
  return `# Tuned numbers

Made by \`node bench/dist/tuning/main.js --keep FOLDER --page bench/tuning.md SESSION.yaml ...\` from the files \`tuning.ts\` at the
head of each folder; don't edit. The last column says what moved most in ${sessions} kept ${sessions === 1 ? 'survey' : 'surveys'} when the number alone
changed by a factor 1.5: the figure that moved most, in its own standard uncertainties u; uncertainties that changed by
more than 5 %; tubes with another fault. "Nothing" is less than 0.1 u. "Not varied": a number of another package than
${VARIED_PACKAGES.join(', ')}, which takes photos or results, or one that has not been run yet.

| folder | number | value | what it is, where it comes from | what it moves |
|---|---|---|---|---|
${rows.join('\n')}
`;
}

async function run(folder: string): Promise<void> {
  mkdirSync(folder, { recursive: true });
  register('./vary-hook.js', import.meta.url);
  const kept: Kept[] = [];
  for (const path of positionals) kept.push(await keptSurvey(path, folder));
  const numbers = await tunedNumbers(PACKAGES);
  const file = join(folder, 'moves.json');
  const moves: Moves = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : {};
  const measure = await measureWith('0');
  const base = kept.map(({ session, survey }) => measure(session, survey).result);
  for (const number of numbers) {
    const key = `${number.folder} ${number.name}`;
    const isVaried = VARIED_PACKAGES.includes(number.folder.split('/')[0]);
    if (kept.length === 0 || !isVaried || !key.includes(values.only) || moves[key]) continue;
    const [up, down] = [
      await moveOf(number, FACTOR, kept, base),
      await moveOf(number, 1 / FACTOR, kept, base),
    ];
    moves[key] = { up, down };
    writeFileSync(file, JSON.stringify(moves, null, 1));
    console.log(`${key} = ${number.value}: × 1.5 moves ${words(up)}; ÷ 1.5 moves ${words(down)}`);
  }
  if (values.page !== undefined) writeFileSync(values.page, page(numbers, moves, kept.length));
}

if (values.help || values.keep === undefined) console.log(HELP);
else await run(values.keep);
