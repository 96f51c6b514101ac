import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { drawPlan } from '../bench/accuracy/draw-plan.js';
import { runSession } from '../bench/accuracy/run-session.js';
import { type Score, scoreSession } from '../bench/accuracy/score.js';
import { tableOf } from '../bench/accuracy/table.js';

/** The table of goals over two of the bench's own sessions, one with a sweep; the bench runs a hundred and more. */
const SESSIONS = [0, 3];
/** Lines that two sessions are too few for: shares of few, and scatters to which a whole session adds one error in common. */
const NEEDS_MANY = /÷ uncertainty|interval holds|told apart/;

let folder: string;
const scores: Score[] = [];

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-accuracy-'));
  for (const index of SESSIONS) {
    const drawn = drawPlan(index, 'short');
    const run = await runSession(drawn, join(folder, String(index)));
    scores.push(scoreSession(index, drawn, run, 0));
  }
}, 600_000);

afterAll(() => rm(folder, { recursive: true }));

test('every goal that two sessions can show is reached', () => {
  const lines = tableOf(scores).filter(({ figure }) => !NEEDS_MANY.test(figure));
  expect(lines.filter(({ reached }) => reached === false)).toEqual([]);
  // The sweep, the pairs and the single tubes did give figures.
  expect(lines.filter(({ reached }) => reached === true).length).toBeGreaterThanOrEqual(14);
});
