import { cellsCsv, pullMap, reportPage } from '@twolamp/report';
import type { Truth } from '@twolamp/simulate';
import { describe, expect, test } from 'vitest';
import { cellLine, type Move, movesAsked, plainText } from './moves.js';
import { cellsWith, COLUMNS, FAULTS, type Rich, ROWS, truthWith } from './session.js';
import { EXAMPLE_SOURCE } from '../../packages/report/src/example/example-source.js';

/** Pitches of the session's plan. */
const BACK_PITCH_MM = 3;
const FRONT_PITCH_MM = 3.6;

/** The faults with the front ends of some misaimed tubes moved; across and up in mm. */
function moved(moves: ReadonlyMap<string, Move>): string[] {
  return FAULTS.map((fault) => {
    const found = /row: (\d+), column: (\d+), fault: misaimed, across: (\S+) mm, up: (\S+) mm/.exec(fault);
    if (found === null) return fault;
    const [, row, column, across, up] = found;
    const by = moves.get(`${row} ${column}`)!;
    const shift = `across: ${Number(across) + by.across} mm, up: ${Number(up) + by.up} mm`;
    return `{ row: ${row}, column: ${column}, fault: misaimed, ${shift} }`;
  });
}

const errorsOf = (truth: Truth, tubes: readonly { index: number }[]) =>
  tubes.map(({ index }) => truth.cells[index]!.pointingErrorDeg);

/** What a builder does with the report, carried out in the simulator. */
export function personTests(rich: () => Rich): void {
  const page = () => reportPage(rich().result, rich().evidence, EXAMPLE_SOURCE);
  /** Tubes called misaimed in the order of the page: pull list first. */
  const misaimed = () => rich().result.pull.filter(({ fault }) => fault === 'misaimed');

  describe('the move that the report asks for', () => {
    test('cures the tube, carried out as it is written', async () => {
      const asked = movesAsked(page());
      expect(asked).toHaveLength(misaimed().length);
      const places = new Map(misaimed().map(({ row, column }, n) => [`${row} ${column}`, asked[n]!]));
      const tubes = cellsWith(rich().truth, 'misaimed');
      expect(tubes.map(({ cell }) => `${cell.row} ${cell.column}`).sort()).toEqual([...places.keys()].sort());
      const before = errorsOf(rich().truth, tubes);
      const after = errorsOf(await truthWith(moved(places)), tubes);
      // 0.1 mm of rounding and 0.1 mm of measuring at 150 mm: 0.08 degrees.
      for (const [n, error] of after.entries()) {
        expect(error).toBeLessThan(0.08);
        expect(error).toBeLessThan(0.25 * before[n]!);
      }
    });

    test('cells.csv asks for the same, each way in its own column', () => {
      const csv = cellsCsv(rich().result);
      const asked = movesAsked(page());
      misaimed().forEach(({ row, column }, n) => {
        const value = cellLine(csv, row!, column!);
        expect(Math.abs(value('cureShiftMm.across') - asked[n]!.across)).toBeLessThanOrEqual(0.051);
        expect(Math.abs(value('cureShiftMm.up') - asked[n]!.up)).toBeLessThanOrEqual(0.051);
      });
    });
  });

  test('gains are as sure as the evidence says', () => {
    const said = [...plainText(page()).matchAll(/(\d+\.\d+) ± (\d+\.(\d+)) %/g)].map(
      ([, gain, by, decimals]) => ({
        gain: Number(gain),
        by: Number(by),
        half: 0.501 * 10 ** -decimals!.length,
      }),
    );
    rich().result.pull.forEach(({ gain, gainUncertainty }, n) => {
      const isSaid = said.some(
        ({ gain: value, by, half }) =>
          Math.abs(value - 100 * gain) < half && Math.abs(by - 100 * gainUncertainty!) < half,
      );
      expect(isSaid, `pull list line ${n + 1}: ${gain} ± ${gainUncertainty}`).toBe(true);
    });
  });

  describe.each(['back', 'front'] as const)('the pull map laid on the %s', (face) => {
    const side = face === 'back' ? 1 : -1;
    const pitch = face === 'back' ? BACK_PITCH_MM : FRONT_PITCH_MM;

    test('numbers lie on the tubes to pull, in true millimetres', () => {
      const { shapes } = pullMap(rich().result, face);
      const filled = shapes.flatMap((shape) => (shape.kind === 'circle' && shape.filled ? [shape.at] : []));
      const outlines = shapes.flatMap((shape) =>
        shape.kind === 'circle' && shape.radiusMm === rich().result.array.tubeBoreMm / 2 ? [shape.at] : [],
      );
      expect(outlines).toHaveLength(ROWS * COLUMNS);
      const [x0, y0] = [0, 1].map(
        (axis) => outlines.reduce((sum, at) => sum + at[axis]!, 0) / outlines.length,
      );
      expect(filled).toHaveLength(rich().result.pull.length);
      rich().result.pull.forEach(({ row, column }, n) => {
        // Shapes come in the lattice's order, the list in its own: the number is what joins them.
        const label = shapes.find(
          (shape) => shape.kind === 'text' && shape.inverse && shape.text === String(n + 1),
        );
        if (label?.kind !== 'text') throw new Error(`no number ${n + 1}`);
        const x = x0! + side * pitch * (column! - (COLUMNS + 1) / 2);
        const y = y0! + pitch * (row! - (ROWS + 1) / 2);
        expect(Math.abs(label.at[0] - x)).toBeLessThan(0.01);
        expect(Math.min(...filled.map((at) => Math.hypot(at[0] - x, at[1] - y)))).toBeLessThan(0.01);
      });
    });

    test('the list under it counts columns from the left of that face first', () => {
      const lines = pullMap(rich().result, face).shapes.flatMap((shape) =>
        shape.kind === 'text' && /^\d+: row/.test(shape.text) ? [shape.text] : [],
      );
      expect(lines).toEqual(
        rich().result.pull.map(({ row, column, fault }, n) => {
          const fromBack = `column ${column} from the back`;
          const fromFront = `column ${COLUMNS + 1 - column!} from the front`;
          const columns = face === 'back' ? `${fromBack}, ${fromFront}` : `${fromFront}, ${fromBack}`;
          return `${n + 1}: row ${row}, ${columns}: ${fault}`;
        }),
      );
    });
  });
}
