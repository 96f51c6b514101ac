import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { type Survey, surveyShots } from '@twolamp/cells';
import { checkSurvey, measureSurvey } from '@twolamp/measure';
import { type Finding, isDoubt, readSession, type Result, type Session } from '@twolamp/session';
import { photosIn } from '../accuracy/run-session.js';
import { drawMistake, knownMistakes, type Mistaken } from './draw-mistakes.js';
import { figuresMoved } from './figures-moved.js';

const HELP = `Session files with one mistake each, against the photos of right sessions: is the mistake named, or doubted at least?

node bench/dist/doubt/main.js FOLDER ... [--drawn 30] [--seed 1]

Each FOLDER holds a right session.yaml and its photos. What is neither named nor doubted before the measurement is
measured: it may be doubted then, or no figure may move by more than its uncertainty. The table goes to stdout, each
mistake to stderr. --right measures the right sessions only.
`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    drawn: { type: 'string', default: '30' },
    seed: { type: 'string', default: '1' },
    right: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

const VERDICTS = [
  'named',
  'doubted',
  'doubted when measured',
  'no figure moves',
  'told to rest on the tape',
  'silent',
] as const;
type Verdict = (typeof VERDICTS)[number];

function named(findings: readonly Finding[], { named }: Mistaken): boolean {
  const [first] = findings;
  return named.some(({ code, about }) => first.code === code && about.test(first.about));
}

/** The same photos with what another session file states of them. */
function restated(survey: Survey, session: Session): Survey {
  const shots = new Map(session.shots.map((shot) => [shot.photo, shot]));
  return {
    ...survey,
    lit: survey.lit.map((one) => ({ ...one, shot: shots.get(one.shot.photo) ?? one.shot })),
  };
}

function verdictOf(survey: Survey, mistaken: Mistaken, right: Result): { verdict: Verdict; told: string } {
  const wrong = restated(survey, mistaken.session);
  const { findings } = checkSurvey(mistaken.session, wrong);
  if (findings.length > 0) {
    const told = `${findings[0].code} ${findings[0].about}`;
    return { verdict: named(findings, mistaken) ? 'named' : 'doubted', told };
  }
  const { result } = measureSurvey(mistaken.session, wrong);
  const doubt = result.findings.find(isDoubt);
  if (doubt) return { verdict: 'doubted when measured', told: `${doubt.code} ${doubt.about}` };
  const moved = figuresMoved(right, result);
  if (moved.length === 0) return { verdict: 'no figure moves', told: '' };
  const told = `${moved.length} figures move: ${moved.slice(0, 4).join(', ')}`;
  const tape = result.findings.find(({ code }) => code === 'distances-rest-on-tape');
  const isAllowedFor = tape?.code === 'distances-rest-on-tape' && mistaken.allowedFor?.(tape.values);
  return { verdict: isAllowedFor ? 'told to rest on the tape' : 'silent', told };
}

interface Judged {
  readonly counts: Record<Verdict, number>;
  readonly rightDoubted: boolean;
}

/** @param nth - of the folders; each has draws of its own */
async function judge(folder: string, nth: number): Promise<Judged> {
  const text = readFileSync(join(folder, 'session.yaml'), 'utf8');
  const session = readSession(text, join(folder, 'session.yaml'));
  const survey = await surveyShots(session, photosIn(folder, session), () => {});
  const { result: right } = measureSurvey(session, survey);
  const first = 1_000_000 * Number(values.seed) + 1000 * nth;
  const drawn = Array.from({ length: Number(values.drawn) }, (_, n) => drawMistake(session, first + n));
  const counts = Object.fromEntries(VERDICTS.map((verdict) => [verdict, 0])) as Record<Verdict, number>;
  for (const mistaken of values.right ? [] : [...knownMistakes(session), ...drawn]) {
    if (mistaken === null) continue;
    const { verdict, told } = verdictOf(survey, mistaken, right);
    counts[verdict]++;
    console.error(`${basename(folder)}: ${mistaken.what}: ${verdict} ${told}`);
  }
  const doubts = right.findings.filter(isDoubt);
  for (const { code, about } of doubts) console.error(`${basename(folder)}: right, but ${code} ${about}`);
  return { counts, rightDoubted: doubts.length > 0 };
}

if (values.help || positionals.length === 0) console.log(HELP);
else {
  console.log(`| session | right one doubted | mistakes | ${VERDICTS.join(' | ')} |`);
  console.log('|---|---|---|---|---|---|---|---|---|');
  for (const [nth, folder] of positionals.entries()) {
    const { counts, rightDoubted } = await judge(folder, nth);
    const numbers = VERDICTS.map((verdict) => counts[verdict]);
    const all = numbers.reduce((sum, count) => sum + count, 0);
    console.log(`| ${basename(folder)} | ${rightDoubted ? 'yes' : 'no'} | ${all} | ${numbers.join(' | ')} |`);
  }
}
