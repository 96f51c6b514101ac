import { axisSlopes, latticePlace, frontPlace } from '@twolamp/optics';
import { finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { SMALL_ARRAY, typicalResult } from './fixtures/results.js';
import { sightsOf } from './sights.js';

const WIDTH_RAD = 0.017;
/** The scene is near enough for tubes to see a tenth wider than from afar. */
const NEAR = { widthRad: WIDTH_RAD, widening: 1.1 };
const HEXAGONAL = { ...SMALL_ARRAY, arrangement: 'hexagonal' as const, shiftedRows: 'odd' as const };

describe('sightsOf', () => {
  test('as measured: each tube its own direction and width, from its stated front end', () => {
    const result = typicalResult(SMALL_ARRAY, 1, ({ row, column, pointing }) =>
      row === 4 && column === 5
        ? { pointing: { ...pointing!, acrossDeg: 3, upDeg: -1, acceptanceWidthDeg: 2 } }
        : {},
    );
    const { asMeasured, typical, findings } = sightsOf(result, NEAR);
    const own = asMeasured[3 * 14 + 4];
    const { acrossMm, upMm } = frontPlace(SMALL_ARRAY, 4, 5);
    expect(own).toMatchObject({ frontAcrossMm: acrossMm, frontUpMm: upMm });
    expect(own.slopeAcross).toBeCloseTo(Math.tan((3 * Math.PI) / 180), 12);
    expect(own.slopeUp).toBeCloseTo(Math.tan((-1 * Math.PI) / 180), 12);
    expect(own.halfWidth).toBeCloseTo(Math.tan((1.1 * Math.PI) / 180), 12);
    // A typical tube in its place looks where those around it do.
    const stated = axisSlopes(SMALL_ARRAY, 4, 5);
    expect(typical[3 * 14 + 4].slopeAcross).toBeCloseTo(stated.across, 9);
    expect(typical[3 * 14 + 4].halfWidth).toBeCloseTo(Math.tan(WIDTH_RAD / 2), 12);
    expect(findings).toEqual([]);
  });

  test.each([
    ['square', SMALL_ARRAY],
    ['hexagonal', HEXAGONAL],
  ])('%s: an array that as a whole looks elsewhere than stated is followed, gaps filled', (_, array) => {
    const aside = (row: number, column: number) => {
      const { across, up } = latticePlace(array, row, column);
      return 0.01 + 0.002 * across + 0.001 * up;
    };
    const result = typicalResult(array, 1, ({ row, column, pointing }) => {
      const { across } = axisSlopes(array, row!, column!);
      const acrossDeg = (Math.atan(across + aside(row!, column!)) * 180) / Math.PI;
      return { pointing: (row! * column!) % 7 === 3 ? null : { ...pointing!, acrossDeg } };
    });
    const { asMeasured, typical, findings } = sightsOf(result, NEAR);
    result.cells.forEach(({ row, column, pointing }, i) => {
      const expected = axisSlopes(array, row!, column!).across + aside(row!, column!);
      expect(typical[i].slopeAcross).toBeCloseTo(expected, 9);
      if (pointing === null) expect(asMeasured[i]).toBe(typical[i]);
    });
    const unknown = result.cells.filter((cell) => cell.pointing === null).length;
    expect(findings).toEqual([finding('pointing-filled-in', 'pointing', { unknown, tubes: 168 })]);
  });

  test('without a sweep all look along their stated axes, and it says so', () => {
    const { asMeasured, typical, findings } = sightsOf(
      typicalResult(SMALL_ARRAY, 1, () => ({ pointing: null })),
      NEAR,
    );
    expect(asMeasured).toEqual(typical);
    expect(typical[0].slopeUp).toBeCloseTo(axisSlopes(SMALL_ARRAY, 1, 1).up, 12);
    expect(findings).toEqual([finding('pointing-assumed', 'pointing', {})]);
  });

  test('a few measured tubes make no field', () => {
    const result = typicalResult(SMALL_ARRAY, 1, ({ row, pointing }) => ({
      pointing: row === 1 ? { ...pointing!, upDeg: 8 } : null,
    }));
    const some = {
      ...result,
      cells: result.cells.map((cell, i) => (i < 5 ? cell : { ...cell, pointing: null })),
    };
    const { asMeasured, typical, findings } = sightsOf(some, NEAR);
    expect(asMeasured[0].slopeUp).toBeCloseTo(Math.tan((8 * Math.PI) / 180), 12);
    expect(typical[0].slopeUp).toBeCloseTo(axisSlopes(SMALL_ARRAY, 1, 1).up, 12);
    expect(findings).toEqual([finding('pointing-sparse', 'pointing', { known: 5, tubes: 168 })]);
  });
});
