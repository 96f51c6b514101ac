import { InputError, readSession } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { drawCase } from '../../bench/fuzz/cases.js';
import { drawFrom } from '../../bench/fuzz/draw.js';
import { mutatedYaml } from '../../bench/fuzz/mutate-text.js';
import { runCase } from '../../bench/fuzz/run-case.js';
import { bases, useTinySession } from './tiny-session.js';

useTinySession();

/** Some 0.05 s each. */
const CHEAP_CASES = 200;

describe('the cheapest cases of bench/fuzz', () => {
  test('mutated results, options and files: nothing is wrong', async () => {
    for (let seed = 0; seed < CHEAP_CASES; seed++) {
      const outcome = await runCase(drawCase(bases, 7_000_000 + seed, ['result', 'options', 'files']));
      expect({ seed, what: outcome.what, wrong: outcome.wrong }).toEqual({
        seed,
        what: outcome.what,
        wrong: [],
      });
    }
  }, 900_000);

  test('mutated sessions are read or refused', () => {
    for (let seed = 0; seed < 300; seed++) {
      const text = mutatedYaml(bases.session('whole'), drawFrom(8_000_000 + seed));
      try {
        readSession(text, 'session.yaml');
      } catch (error) {
        expect({ seed, error }).toEqual({ seed, error: expect.any(InputError) });
        expect((error as Error).message.length).toBeLessThan(1600);
      }
    }
  });
});
