import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { nextShot, openSurvey, surveyOf, surveyShot } from '@twolamp/cells';
import { measureSurvey } from '@twolamp/measure';
import { type LinearPhoto, readSession, type Shot } from '@twolamp/session';
import { photosIn } from '../accuracy/run-session.js';
import { makePanels } from './panels.js';
import {
  drawReplacement,
  type Headlines,
  headlinesOf,
  judgeReplaced,
  type Verdict,
} from './replace-photo.js';

const HELP = `Right sessions with one photo replaced: by a photo of another kind, or a picture of no bench. Is it named?

node bench/dist/fuzz/replaced.js [FOLDER ...] [--panels 0] [--each 8] [--seed 1] [--verbose]

Each FOLDER holds a right session.yaml and its photos; --panels draws so many of small panels from the seed. Right sessions
in which a photo is doubted are counted as well.
`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    panels: { type: 'string', default: '0' },
    each: { type: 'string', default: '8' },
    seed: { type: 'string', default: '1' },
    verbose: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

const counts: Record<Verdict, number> = {
  'refused by name': 0,
  named: 0,
  unchanged: 0,
  'at a threshold': 0,
  silent: 0,
};
let doubted = 0;

async function judgeFolder(folder: string, firstSeed: number, scratch: string): Promise<void> {
  const session = readSession(await readFile(join(folder, 'session.yaml'), 'utf8'), 'session.yaml');
  const read = photosIn(folder, session);
  const photos = new Map<string, LinearPhoto>();
  const load = async (shot: Shot) => {
    const photo = photos.get(shot.photo) ?? (await read(shot));
    photos.set(shot.photo, photo);
    return photo;
  };
  const survey = openSurvey();
  for (let next = nextShot(survey, session); next; next = nextShot(survey, session)) {
    surveyShot(survey, session, next, await load(next));
  }
  const known = surveyOf(survey, session)!;
  const doubts = known.findings.filter(({ code }) => code === 'doubt-photo-kind');
  if (doubts.length > 0) doubted++;
  for (const { about, values: says } of doubts)
    console.log(`${basename(folder)}: right, but ${about} is doubted: ${JSON.stringify(says)}`);
  let headlines: Headlines | undefined;
  const right = () => {
    headlines ??= headlinesOf(measureSurvey(session, known).result);
    return headlines;
  };
  for (let n = 0; n < Number(values.each); n++) {
    const replacement = drawReplacement(session, load, firstSeed + n, scratch);
    const { verdict, says } = await judgeReplaced(session, load, survey, right, replacement);
    counts[verdict]++;
    if (verdict === 'silent' || verdict === 'at a threshold' || values.verbose)
      console.log(`${basename(folder)}: ${replacement.shot.photo} by ${replacement.by}: ${verdict}: ${says}`);
  }
}

const seed = Number(values.seed);
const panels = Number(values.panels);
if (values.help || positionals.length + panels === 0) console.log(HELP);
else {
  const scratch = await mkdtemp(join(tmpdir(), 'twolamp-replaced-'));
  try {
    const folders = [...positionals, ...(await makePanels(scratch, panels, 1000 * seed))];
    for (const [n, folder] of folders.entries())
      await judgeFolder(folder, 1_000_000 * seed + 1000 * n, scratch);
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
  const all = Object.values(counts).reduce((sum, count) => sum + count, 0);
  const parts = Object.entries(counts).map(([verdict, count]) => `${count} ${verdict}`);
  console.log(
    `${positionals.length + panels} right sessions, ${doubted} with a photo doubted; ${all} with one replaced: ${parts.join(', ')}`,
  );
  process.exitCode = counts.silent + doubted > 0 ? 1 : 0;
}
