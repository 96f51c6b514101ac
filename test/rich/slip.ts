import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { EXIT, run } from '../../packages/cli/src/run.js';
import { headlines } from '@twolamp/words';
import type { Rich } from './session.js';

/** A wrong session file: what rests on it is called doubtful or left out, what doesn't stands. */
export function slipTests(rich: () => Rich): void {
  describe('a front pitch mistyped', () => {
    test('the finding names it, and the value that fits', () => {
      const [first] = rich().slipped.result.findings;
      expect(first).toMatchObject({ code: 'doubt-length', about: 'array.front-pitch' });
      const { statedMm, fittingMm } = first!.values as { statedMm: number; fittingMm: number };
      expect(statedMm).toBe(4.6);
      expect(Math.abs(fittingMm - 3.6)).toBeLessThan(0.03);
    });

    test('the distance is doubtful, and what repairing brings in metres is left out', () => {
      const { resolving, repairs, pull, findings } = rich().slipped.result;
      expect(resolving).toMatchObject({ doubtful: true });
      expect(repairs!.map(({ fartherM, dip }) => [fartherM, dip])).toEqual(repairs!.map(() => [null, null]));
      expect(pull.map(({ dipGain }) => dipGain)).toEqual(pull.map(() => null));
      expect(findings.map(({ code }) => code)).not.toContain('pull-dip');
      // The right session's result has them.
      expect(rich().result.repairs!.at(-1)!.fartherM).toBeGreaterThan(0);
    });

    test('the first screen says so in words', () => {
      const said = headlines(rich().slipped.result).join(' ');
      expect(said).toContain('is doubtful');
      expect(said).not.toMatch(/farther away than now|hardly change/);
    });

    test('light in even light stands as it is', () => {
      const light = ({ result }: Pick<Rich, 'result'>) =>
        result.cells.map(({ transmission }) => transmission.relative);
      expect(light(rich().slipped)).toEqual(light(rich()));
    });

    test('check offers a session with the pitch that fits, and writes it once a person agrees', async () => {
      const { folder } = rich();
      const asked: string[] = [];
      const code = await run(['check', folder, '--mend'], {
        out: () => {},
        err: () => {},
        interactive: false,
        ask: async (question) => {
          asked.push(question);
          return 'yes';
        },
      });
      expect(code).toBe(EXIT.doubtful);
      expect(asked).toHaveLength(1);
      const file = join(folder, 'session-mended.yaml');
      const { array } = readSession(await readFile(file, 'utf8'), file);
      expect(Math.abs(array.frontPitchMm - 3.6)).toBeLessThan(0.03);
    });
  });
}
