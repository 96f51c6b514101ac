import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { type Survey, surveyShots } from '@twolamp/cells';
import { checkSurvey } from '@twolamp/measure';
import { type Finding, readSession, type Session } from '@twolamp/session';
import { photosIn } from '../accuracy/run-session.js';
import { drawMistake, knownMistakes, type Mistaken } from './draw-mistakes.js';

const HELP = `Session files with one mistake each, against the photos of right sessions: is the mistake named, or doubted at least?

node bench/dist/doubt/main.js FOLDER ... [--drawn 30] [--seed 1]

Each FOLDER holds a right session.yaml and its photos. The table goes to stdout, each mistake to stderr.
`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    drawn: { type: 'string', default: '30' },
    seed: { type: 'string', default: '1' },
    help: { type: 'boolean', default: false },
  },
});

type Verdict = 'named' | 'doubted' | 'silent';

function verdictOf(findings: readonly Finding[], { named }: Mistaken): Verdict {
  if (findings.length === 0) return 'silent';
  const [first] = findings;
  return named.some(({ code, about }) => first.code === code && about.test(first.about))
    ? 'named'
    : 'doubted';
}

/** The same photos with what another session file states of them. */
function restated(survey: Survey, session: Session): Survey {
  const shots = new Map(session.shots.map((shot) => [shot.photo, shot]));
  return {
    ...survey,
    lit: survey.lit.map((one) => ({ ...one, shot: shots.get(one.shot.photo) ?? one.shot })),
  };
}

async function judge(folder: string): Promise<Record<Verdict, number> & { right: boolean }> {
  const text = readFileSync(join(folder, 'session.yaml'), 'utf8');
  const session = readSession(text, join(folder, 'session.yaml'));
  const survey = await surveyShots(session, photosIn(folder, session), () => {});
  const right = checkSurvey(session, survey).findings.length === 0;
  const drawn = Array.from({ length: Number(values.drawn) }, (_, n) =>
    drawMistake(session, 1000 * Number(values.seed) + n),
  );
  const counts = { named: 0, doubted: 0, silent: 0, right };
  for (const mistaken of [...knownMistakes(session), ...drawn]) {
    if (mistaken === null) continue;
    const { findings } = checkSurvey(mistaken.session, restated(survey, mistaken.session));
    const verdict = verdictOf(findings, mistaken);
    counts[verdict]++;
    const first = findings[0] ? `${findings[0].code} ${findings[0].about}` : '';
    console.error(`${basename(folder)}: ${mistaken.what}: ${verdict} ${first}`);
  }
  return counts;
}

if (values.help || positionals.length === 0) console.log(HELP);
else {
  console.log(
    '| session | right one doubted | mistakes | named | doubted only | silent |\n|---|---|---|---|---|---|',
  );
  for (const folder of positionals) {
    const { named, doubted, silent, right } = await judge(folder);
    const all = named + doubted + silent;
    console.log(
      `| ${basename(folder)} | ${right ? 'no' : 'yes'} | ${all} | ${named} | ${doubted} | ${silent} |`,
    );
  }
}
