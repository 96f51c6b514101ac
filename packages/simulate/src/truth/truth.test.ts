import { describe, expect, test } from 'vitest';
import { buildBench } from '../array/bench.js';
import { projection } from '../camera/projection.js';
import { smallPlan } from '../fixtures/small-plan.js';
import { listPhotos } from '../shots/photo-names.js';
import { truePair } from './dip.js';
import { trueResolvingDistanceMm } from './resolving.js';
import { truthOf } from './truth.js';

const FAR = '[{ kind: even }, { kind: pair, spacing: 2.5 m, distance: 120 m }]';

function truth(changes: Record<string, string>) {
  const plan = smallPlan(changes);
  const bench = buildBench(plan);
  return truthOf(bench, listPhotos(plan), [], projection(plan, { xPx: 0, yPx: 0 }));
}

// Two lamps so far off that light is parallel, as far apart as a black tube sees to one side (spacing/distance = d/L):
// each peak 1, each valley twice the overlap of circles through each other's middle, 2 (2/3 − √3/(2π)).
const CUT_OFF_DIP = 1 - 2 * (2 / 3 - Math.sqrt(3) / (2 * Math.PI));

describe('true dip', () => {
  test.each([0, 90, 30])('closed form for parallel light, lamps turned by %d°', (turned) => {
    const bench = buildBench(smallPlan({ shots: FAR }));
    const { dip, separationCells } = truePair(bench, 2500, 120_000, turned);
    // Lamps at 120 m instead of infinity widen the tip by L/D = 0.1 %; the acceptance's table is good to 0.1 %.
    expect(Math.abs(dip - CUT_OFF_DIP)).toBeLessThan(0.004);
    // Apex 120·3/0.6 = 600 mm behind the sheet: 2500·720/(120 720·3.6).
    expect(separationCells).toBeCloseTo((2500 * 720) / (120_720 * 3.6), 9);
  });

  test('crosstalk fills the valley', () => {
    const clean = truePair(buildBench(smallPlan({ shots: FAR })), 2500, 120_000, 0);
    const mixed = truePair(
      buildBench(smallPlan({ shots: FAR, build: '{ crosstalk: 0.05 }' })),
      2500,
      120_000,
      0,
    );
    expect(mixed.dip).toBeLessThan(clean.dip);
    expect(mixed.dip).toBeGreaterThan(clean.dip - 0.06);
  });

  test('the resolving distance is where the dip is the required one', () => {
    const bench = buildBench(smallPlan({ shots: FAR }));
    const distance = trueResolvingDistanceMm(bench, 2500, CUT_OFF_DIP, 60_000, 400_000);
    expect(Math.abs(distance! / 120_000 - 1)).toBeLessThan(0.005);
    expect(trueResolvingDistanceMm(bench, 2500, CUT_OFF_DIP, 200_000, 400_000)).toBeNull();
  });
});

describe('truthOf', () => {
  test('a clean black array: closed forms of acceptance, transmission and pointing', () => {
    const { cells } = truth({});
    const ratio = 1.25 / 120;
    const viewFactor = (2 * ratio ** 2) / (1 + 2 * ratio ** 2 + Math.sqrt(1 + 4 * ratio ** 2));
    for (const cell of cells) {
      expect(cell.relativeTransmission).toBeCloseTo(1, 9);
      // Half maximum of the overlap of two circles at 0.404 bores to either side (OEIS A133741).
      expect(cell.acceptanceWidthDeg).toBeCloseTo((2 * Math.atan((0.40397 * 2.5) / 120) * 180) / Math.PI, 2);
      const slope2 =
        Math.tan((cell.pointing.acrossDeg * Math.PI) / 180) ** 2 +
        Math.tan((cell.pointing.upDeg * Math.PI) / 180) ** 2;
      expect(Math.abs((cell.absoluteTransmission * (1 + slope2) ** 2) / viewFactor - 1)).toBeLessThan(1e-3);
      expect(cell).toMatchObject({ fault: 'none', bow: null, cureShiftMm: null, pointingErrorDeg: 0 });
    }
    // Corner: (10.8 − 9) mm to the left and (7.2 − 6) mm up in 120 mm.
    expect(cells[0].pointing.acrossDeg).toBeCloseTo((Math.atan(-1.8 / 120) * 180) / Math.PI, 9);
    expect(cells[0].pointing.upDeg).toBeCloseTo((Math.atan(1.2 / 120) * 180) / Math.PI, 9);
    expect(cells[0].xPx).toBeLessThan(cells[1].xPx);
    expect(cells[0].yPx).toBeLessThan(cells[7].yPx);
  });

  test('each fault shows as the bench knows it', () => {
    const { cells, crosstalk } = truth({
      build: '{ wall: { index: 1.5, extinction: 0, gloss: 0.4 }, crosstalk: 0.01 }',
      faults:
        '{ list: [{ fault: blocked, row: 1, column: 1 }, { fault: weak, row: 1, column: 7, transmission: 0.5 }, ' +
        '{ fault: bent, row: 3, column: 2, bow: 1.5 mm, direction: 90 deg }, ' +
        '{ fault: misaimed, row: 5, column: 1, across: 1.2 mm, up: -0.6 mm }, { fault: open, row: 5, column: 7 }, ' +
        '{ fault: leaky, row: 3, column: 6, to: { row: 3, column: 7 }, share: 0.1 }] }',
    });
    const at = (row: number, column: number) => cells[(row - 1) * 7 + column - 1];
    expect(at(1, 1)).toMatchObject({ fault: 'blocked' });
    expect(at(1, 1).relativeTransmission).toBeLessThan(0.01);
    // Half of its own light, and a little more of the others'.
    expect(Math.abs(at(1, 7).relativeTransmission - 0.5)).toBeLessThan(0.01);
    const bent = at(3, 2);
    expect(bent.bow).toEqual({ mm: 1.5, directionDeg: 90 });
    expect(bent.relativeTransmission).toBeLessThan(0.95);
    // A glossy tube whose middle stands out upwards looks down, towards its entrance's tangent, 4h/L = 2.9°.
    expect(bent.pointing.upDeg).toBeLessThan(-1);
    expect(bent.pointing.upDeg).toBeGreaterThan(-2.9);
    expect(Math.abs(bent.pointing.acrossDeg - at(3, 2).pointing.acrossDeg)).toBeLessThan(0.1);
    const misaimed = at(5, 1);
    expect(misaimed.cureShiftMm!.across).toBeCloseTo(-1.2, 9);
    expect(misaimed.cureShiftMm!.up).toBeCloseTo(0.6, 9);
    expect(misaimed.pointingErrorDeg).toBeCloseTo((Math.atan(Math.hypot(1.2, 0.6) / 120) * 180) / Math.PI, 2);
    // A wider hole lets more light in and sees more: (2.85/2.5)⁴ with black walls, less steeply with glossy ones.
    expect(at(5, 7).relativeTransmission).toBeGreaterThan(1.2);
    expect(at(3, 6).crosstalk.worst).toMatchObject({ row: 3, column: 7 });
    expect(at(3, 6).crosstalk.total).toBeGreaterThan(0.1);
    expect(crosstalk.kernel).toHaveLength(5);
    const kernelSum = crosstalk.kernel!.flat().reduce((sum, share) => sum + share, 0);
    expect(kernelSum).toBeCloseTo(crosstalk.meanTotal, 12);
  });
});
