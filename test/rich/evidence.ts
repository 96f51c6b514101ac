import { describe, expect, test } from 'vitest';
import { buildBench } from '../../packages/simulate/src/array/bench.js';
import { tubeLight } from '../../packages/simulate/src/shots/passed-light.js';
import { cellsWith, COLUMNS, type Rich, richPlan, ROWS } from './session.js';

const rms = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length);

/** Value of a curve at a place between its points. */
function at(x: readonly number[], y: readonly number[], place: number): number {
  const next = x.findIndex((one) => one >= place);
  const share = (place - x[next - 1]!) / (x[next]! - x[next - 1]!);
  return y[next - 1]! + share * (y[next]! - y[next - 1]!);
}

/** What the page draws beside the figures, against the truth. */
export function evidenceTests(rich: () => Rich): void {
  describe('evidence', () => {
    test('the pitch in the even shot', () => {
      const { truth, evidence } = rich();
      const place = (row: number, column: number) => truth.cells[(row - 1) * COLUMNS + column - 1]!;
      const across = place(ROWS / 2, COLUMNS).xPx - place(ROWS / 2, 1).xPx;
      expect(Math.abs(evidence.pitchPx / (across / (COLUMNS - 1)) - 1)).toBeLessThan(0.01);
    });

    test('the curve of dips goes through the true ones and crosses the criterion at the resolving distance', () => {
      const { distanceM, dip, lowDip, highDip } = rich().evidence.dipCurve!;
      for (const pair of rich().truth.pairs) {
        // The band holds 95 %; with the model's error beside it, a dip is good to 0.02.
        expect(Math.abs(at(distanceM, dip, pair.distanceM) - pair.dip)).toBeLessThan(0.02);
        expect(at(distanceM, lowDip, pair.distanceM)).toBeLessThan(at(distanceM, dip, pair.distanceM));
        expect(at(distanceM, highDip, pair.distanceM)).toBeGreaterThan(at(distanceM, dip, pair.distanceM));
      }
      const { resolving } = rich().result;
      // Its points are 0.02 apart in dip at the most.
      expect(Math.abs(at(distanceM, dip, resolving!.distanceM) - resolving!.requiredDip)).toBeLessThan(0.005);
    });

    test('dips that are read without the model: two or more agree with the truth within what they say', () => {
      const plain = rich().evidence.plainDips!;
      expect(plain.length).toBeGreaterThan(1);
      for (const { distanceM, dip, uncertainty } of plain) {
        const known = rich().truth.pairs.filter((pair) => Math.abs(pair.distanceM - distanceM) < 1e-6);
        const mean = known.reduce((sum, pair) => sum + pair.dip, 0) / known.length;
        expect(Math.abs(dip - mean), `${distanceM} m`).toBeLessThan(3 * uncertainty);
      }
    });

    test('light along the line of the lamps: model and photo show the same two peaks', () => {
      const { evidence, result } = rich();
      expect(evidence.profiles.map(({ photo }) => photo)).toEqual(result.pairs.map(({ photo }) => photo));
      evidence.profiles.forEach(({ offsetCells, measured, model }, n) => {
        expect(Math.abs(Math.max(...model) - 1)).toBeLessThan(1e-3);
        expect(rms(measured.map((light, k) => light - model[k]!))).toBeLessThan(0.05);
        // Where the pair is apart by more than a lamp is wide, a peak lies on each side, half the separation from the middle.
        const { dip, separationCells } = result.pairs[n]!;
        if (dip! < 0.5) return;
        const peak = (side: number) =>
          model.reduce(
            (best, light, k) => (side * offsetCells[k]! > 0 && light > model[best]! ? k : best),
            offsetCells.findIndex((offset) => side * offset > 0),
          );
        const apart = offsetCells[peak(1)]! - offsetCells[peak(-1)]!;
        expect(Math.abs(apart / separationCells! - 1)).toBeLessThan(0.1);
      });
    });

    test('what each lamp shows through each tube: the light that the simulator has it pass', () => {
      const { evidence, truth } = rich();
      const bench = buildBench(richPlan());
      const { lamps: all, response } = evidence.sweep!;
      expect(all).toHaveLength(truth.photos.filter(({ kind }) => kind === 'lamp').length);
      const lamps = all.filter((_, n) => n % 5 === 0);
      const healthy = cellsWith(truth, 'none').map(({ index }) => index);
      const known = lamps.map(
        ({ acrossMm: across, upMm: up, distanceMm: distance }) =>
          tubeLight(bench, { kind: 'lamp', repeats: 1, across, up, distance }).out,
      );
      const seen = healthy.flatMap((k) =>
        lamps.flatMap((_, n) => {
          const got = response[k]![5 * n]!;
          return got === null ? [] : [{ got, due: known[n]![k]! }];
        }),
      );
      const sum = (of: (one: (typeof seen)[number]) => number) => seen.reduce((all, one) => all + of(one), 0);
      const scale = sum(({ got, due }) => got * due) / sum(({ due }) => due * due);
      expect(rms(seen.map(({ got, due }) => got - scale * due))).toBeLessThan(0.01);
      // 1 is what a typical tube answers to the lamp that it sees best.
      const best = healthy.map((k) => Math.max(...response[k]!.map((one) => one ?? 0))).sort((a, b) => a - b);
      expect(Math.abs(best[best.length >> 1]! - 1)).toBeLessThan(0.02);
    });
  });
}
