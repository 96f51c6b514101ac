import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Form } from './draw-plan.js';
import { runTasks } from './pool.js';
import type { Score } from './score.js';
import { markdown, tableOf } from './table.js';

const HELP = `How far measured figures lie from the truth, over seeded synthetic sessions.

npm run --silent accuracy -- [--form short|long] [--sessions N] [--from K] [--step S] [--threads 2] [--out FOLDER] [--keep FOLDER]
npm run --silent accuracy -- PART/accuracy.json PART/accuracy.json ... [--out FOLDER]

The table goes to stdout, and with the scores of each session into FOLDER (accuracy.md, accuracy.json). N sessions
from K on are run, every Sth, so that a long run can be made in parts and --step 2 runs sweeps alone; the parts' accuracy.json together give the whole table.
--keep leaves the sessions' photos in a folder.
`;

const SESSIONS: Record<Form, number> = { short: 6, long: 125 };

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    form: { type: 'string', default: 'short' },
    sessions: { type: 'string' },
    from: { type: 'string', default: '0' },
    step: { type: 'string', default: '1' },
    threads: { type: 'string', default: '2' },
    out: { type: 'string' },
    keep: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

function whole(name: string, text: string): number {
  if (!/^\d+$/.test(text)) throw new RangeError(`--${name} must be a whole number, got ${text}`);
  return Number(text);
}

function formOf(text: string): Form {
  if (text !== 'short' && text !== 'long') throw new RangeError(`--form must be short or long, got ${text}`);
  return text;
}

async function run(): Promise<Score[]> {
  const form = formOf(values.form);
  const [from, step] = [whole('from', values.from), whole('step', values.step)];
  const count = values.sessions === undefined ? SESSIONS[form] : whole('sessions', values.sessions);
  const tasks = Array.from({ length: count }, (_, n) => ({
    index: from + n * step,
    form,
    keep: values.keep ?? null,
  }));
  const scores: Score[] = [];
  await runTasks(tasks, whole('threads', values.threads), (score) => {
    scores.push(score);
    // A run that is broken off leaves what it got.
    save(scores);
    const told = score.refused === null ? '' : `, refused: ${score.refused}`;
    console.error(
      `${scores.length} of ${count}: session ${score.index}, ${score.pitchPx.toFixed(0)} px a pitch, ${score.seconds.toFixed(0)} s${told}`,
    );
  });
  return scores;
}

function readParts(files: readonly string[]): Score[] {
  const scores = files.flatMap(
    (file) => (JSON.parse(readFileSync(file, 'utf8')) as { scores: Score[] }).scores,
  );
  return [...new Map(scores.map((score) => [score.index, score])).values()];
}

function save(scores: readonly Score[]): void {
  if (values.out === undefined) return;
  mkdirSync(values.out, { recursive: true });
  writeFileSync(join(values.out, 'accuracy.md'), markdown(scores));
  writeFileSync(join(values.out, 'accuracy.json'), JSON.stringify({ table: tableOf(scores), scores }));
}

if (values.help) {
  console.log(HELP);
} else {
  const scores = positionals.length > 0 ? readParts(positionals) : await run();
  scores.sort((a, b) => a.index - b.index);
  console.log(markdown(scores));
  save(scores);
}
