import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { register } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Survey, surveyShots } from '@twolamp/cells';
import type { checkSurvey, measureSurveyBeside, StepsElsewhere } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { readSession, type Session, type Shot, type ShotPhoto } from '@twolamp/session';
import type { Change } from './change.js';
import { type Given, givenByCheck, givenByResult, givenBySurvey, movesBetween } from './figures.js';
import { type TunedFolder, type TunedNumber, tunedFolders } from './numbers.js';
import { testNoticing } from './notice.js';
import { type AllFound, foundOf, page } from './page.js';

const HELP = `What each tuned number moves when it changes by a factor 1.5 either way, and by 20 where that moves nothing.

node bench/dist/tuning/main.js [--only TEXT] [--closer] [SESSION.yaml ...]

Writes bench/tuning.md from what is known: bench/tuning/found.json keeps it, and a second run goes on where the first one ended. With sessions,
numbers are varied whose folder or name holds TEXT. With --closer, those that so move nothing are varied by a factor 20 as well; those
that still move nothing are tried on the tests of the files that use them. A number is varied again when its value has changed.
`;

const NEAR = [1.5, 1 / 1.5];
const FAR = [20, 1 / 20];
const ROOT = join(import.meta.dirname, '../../..');
const FOUND = join(ROOT, 'bench/tuning/found.json');
const PAGE = join(ROOT, 'bench/tuning.md');
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    only: { type: 'string', default: '' },
    closer: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

/** Theory's distance takes longest and rests on the gloss alone, which is a figure itself. */
const NO_THEORY: StepsElsewhere = {
  pairs: async () => null,
  prediction: async () => ({ predictedDistanceM: null, predictedDistanceUncertaintyM: null }),
};

interface Open {
  readonly session: Session;
  readonly load: (shot: Shot) => Promise<ShotPhoto>;
  readonly survey: Survey;
}

interface Code {
  readonly surveyShots: typeof surveyShots;
  readonly checkSurvey: typeof checkSurvey;
  readonly measureSurveyBeside: typeof measureSurveyBeside;
}

/** The packages loaded anew; with a number changed where a query asks for it. */
async function codeWith(query: string): Promise<Code> {
  const from = (path: string) => import(`${new URL(path, `file://${ROOT}/packages/`).href}?vary=${query}`);
  return { ...(await from('cells/dist/index.js')), ...(await from('measure/dist/index.js')) };
}

async function opened(path: string, { surveyShots }: Code): Promise<Open> {
  const session = readSession(readFileSync(path, 'utf8'), basename(path));
  const photos = new Map<string, Promise<ShotPhoto>>();
  const load = ({ photo }: Shot) => {
    if (!photos.has(photo))
      photos.set(photo, readPhoto(join(dirname(path), photo), { tone: 'srgb', channel: 'luminance' }));
    return photos.get(photo)!;
  };
  return { session, load, survey: await surveyShots(session, load, () => {}) };
}

type Step = (code: Code, open: Open) => Promise<Given>;

const survey: Step = async (code, { session, load }) =>
  givenBySurvey(await code.surveyShots(session, load, () => {}));
const result: Step = async (code, { session, survey }) =>
  givenByResult((await code.measureSurveyBeside(session, survey, NO_THEORY)).result);

/** The step that shows what a package's numbers move, by package; others aren't asked by a session. */
const STEPS: Readonly<Record<string, Step>> = {
  places: survey,
  flux: survey,
  cells: survey,
  consistency: async (code, { session, survey }) => givenByCheck(code.checkSurvey(session, survey)),
  resolving: result,
  measure: result,
};
const stepOf = (folder: string): Step | undefined => STEPS[folder.split('/')[0]];

async function allGiven(code: Code, sessions: readonly Open[], step: Step): Promise<Given[]> {
  const given: Given[] = [];
  for (const session of sessions) given.push(await step(code, session));
  return given;
}

async function byFactor(factors: readonly number[], ask: (by: number) => string | Promise<string>) {
  const found: Record<string, string> = {};
  for (const by of factors) found[by] = await ask(by);
  return found;
}

const isNothing = (found: Readonly<Record<string, string>>) =>
  Object.values(found).every((text) => text === '');

type Vary = (folder: TunedFolder, change: Change) => Promise<string>;

async function varied(): Promise<Vary> {
  register('./vary-hook.js', import.meta.url);
  const base = await codeWith('0');
  const sessions: Open[] = [];
  for (const path of positionals) sessions.push(await opened(path, base));
  const before = new Map<Step, Given[]>();
  return async ({ folder, url }, { name, by }) => {
    const step = stepOf(folder)!;
    if (!before.has(step)) {
      before.set(step, await allGiven(base, sessions, step));
      if (movesBetween(before.get(step)!, await allGiven(base, sessions, step)))
        throw new Error('the same code gives other figures a second time');
    }
    const query = new URLSearchParams({ file: url, name, by: String(by) });
    const code = await codeWith(`1&${query}`);
    try {
      return movesBetween(before.get(step)!, await allGiven(code, sessions, step));
    } catch (error) {
      return `ends with "${(error as Error).message.split('\n')[0]}"`;
    }
  };
}

/** Read anew each time, and written at once: another run may go through other folders meanwhile. */
const allFound = (): AllFound => (existsSync(FOUND) ? JSON.parse(readFileSync(FOUND, 'utf8')) : {});
const write = (all: AllFound) => writeFileSync(FOUND, `${JSON.stringify(all, null, 1)}\n`);

async function run(): Promise<void> {
  const folders = await tunedFolders(join(ROOT, 'packages'));
  const vary = positionals.length > 0 ? await varied() : null;
  const ask = async (folder: TunedFolder, number: TunedNumber) => {
    const key = `${folder.folder} ${number.name}`;
    if (!key.includes(values.only)) return;
    let found = foundOf(allFound(), folder.folder, number);
    const change = (by: number): Change => ({ name: number.name, by });
    const isVaried = stepOf(folder.folder) !== undefined;
    const moved = (by: number) => vary!(folder, change(by));
    if (vary && isVaried && !found.moves) found = { ...found, moves: await byFactor(NEAR, moved) };
    if (values.closer && !found.tests && isNothing(found.moves ?? {})) {
      if (vary && isVaried && !(FAR[0] in (found.moves ?? {})))
        found = { ...found, moves: { ...found.moves, ...(await byFactor(FAR, moved)) } };
      if (isNothing(found.moves ?? {}))
        found = { ...found, tests: await byFactor(FAR, (by) => testNoticing(ROOT, folder, change(by))) };
    }
    if (!found.moves && !found.tests) return;
    const now = allFound();
    if (JSON.stringify(now[key]) !== JSON.stringify(found)) console.log(key, JSON.stringify(found));
    write({ ...now, [key]: found });
  };
  const keys = new Set<string>();
  for (const folder of folders)
    for (const { numbers } of folder.groups)
      for (const number of numbers) {
        await ask(folder, number);
        keys.add(`${folder.folder} ${number.name}`);
      }
  const all = Object.fromEntries(Object.entries(allFound()).filter(([key]) => keys.has(key)));
  write(all);
  writeFileSync(PAGE, page(folders, all));
}

if (values.help) console.log(HELP);
else await run();
