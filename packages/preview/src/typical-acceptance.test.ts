import { absorbingWidthRad, seededRandom, traceAcceptance, tubeOf } from '@twolamp/optics';
import { typicalAbsolute } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { SMALL_ARRAY, typicalResult } from './fixtures/results.js';
import { typicalAcceptance } from './typical-acceptance.js';

const TUBE = tubeOf(SMALL_ARRAY);
const DEG = 180 / Math.PI;
const FAR_MM = 1e6;
const random = () => seededRandom(1);
const blind = (absolute: number | null) =>
  typicalResult(SMALL_ARRAY, 1, ({ transmission }) => ({
    pointing: null,
    transmission: { ...transmission, absolute, absoluteUncertainty: absolute && 0.01 * absolute },
  }));

describe('typicalAcceptance', () => {
  // A black tube's width is 0.808 d/L; what theory says of a glossy one is held against outside values in optics.
  test('a sweep’s width decides, and says what the wall is like', () => {
    const black = typicalAcceptance(
      typicalResult(SMALL_ARRAY, absorbingWidthRad(TUBE) * DEG),
      FAR_MM,
      random(),
      undefined,
    );
    expect(black.near.at(0.8 * (2.5 / 120), 0)).toBeCloseTo(0.104, 2); // overlap of circles 0.8 diameters apart
    expect(black.near.at(1.01 * (2.5 / 120), 0)).toBeLessThan(0.005);
    expect(black.findings).toEqual([]);

    const theory = traceAcceptance(TUBE, { index: 1.5, extinction: 0, gloss: 0.6 }, random());
    const glossy = typicalAcceptance(
      typicalResult(SMALL_ARRAY, theory.widthRad * DEG),
      FAR_MM,
      random(),
      undefined,
    );
    expect(glossy.widthRad / theory.widthRad).toBeCloseTo(1, 2);
    expect(glossy.evenThroughput / theory.evenThroughput).toBeCloseTo(1, 2);
    expect(glossy.near.at(0.05, 0)).toBeCloseTo(theory.at(0.05, 0), 2);
  });

  test('a near scene is seen wider than a far one, whose width the result states', () => {
    const found = typicalAcceptance(
      typicalResult(SMALL_ARRAY, absorbingWidthRad(TUBE) * DEG),
      600,
      random(),
      undefined,
    );
    // A point at D throws the front end's circle 1 + L/D = 1.2 times as wide on the back end. It shares half as much with
    // the bore as straight ahead when the two circles' middles lie 1.0479 bore radii apart (their lens solved by bisection);
    // of a parallel beam 0.8079, OEIS A133741.
    // Traced with a thousand rays a direction.
    expect(Math.abs(found.widening / (1.0479 / 0.8079) - 1)).toBeLessThan(0.01);
    expect(found.widthRad / absorbingWidthRad(TUBE)).toBeCloseTo(found.widening, 2);
    const black = traceAcceptance(TUBE, 'matte black', random());
    expect(found.evenThroughput / black.evenThroughput).toBeCloseTo(1, 2);
  });

  test('the typical width is that of healthy tubes', () => {
    const result = typicalResult(SMALL_ARRAY, 1.1, ({ column, pointing }) =>
      column! > 4 ? { fault: 'bent', pointing: { ...pointing!, acceptanceWidthDeg: 4 } } : {},
    );
    const { widthRad, widening } = typicalAcceptance(result, 1500, random(), undefined);
    expect((widthRad / widening) * DEG).toBeCloseTo(1.1, 9);
  });

  test.each([
    ['the stated wall', 3e-3, 'glossy black' as const, 'the stated wall'],
    ['the light passed', 3e-3, undefined, 'absolute transmission'],
    ['a black wall', null, undefined, 'black walls'],
  ])('without a sweep: %s, and it says so', (_, absolute, wall, from) => {
    const { near, evenThroughput, findings } = typicalAcceptance(blind(absolute), FAR_MM, random(), wall);
    expect(findings).toMatchObject([{ code: 'acceptance-assumed', values: { from } }]);
    if (wall) expect(near.widthRad).toBeCloseTo(traceAcceptance(TUBE, wall, random()).widthRad, 3);
    else if (absolute) expect(evenThroughput / absolute).toBeCloseTo(1, 3);
    else expect(near.widthRad / absorbingWidthRad(TUBE)).toBeCloseTo(1, 2);
  });
});

describe('typicalAbsolute', () => {
  test('is that of a tube of relative transmission 1, whatever the faulty ones do', () => {
    const result = typicalResult(SMALL_ARRAY, 1, ({ column }) => {
      const relative = column! < 5 ? 0.4 : 1 + 0.02 * (column! % 3);
      const transmission = {
        relative,
        relativeUncertainty: null,
        absolute: 3e-4 * relative,
        absoluteUncertainty: 6e-6 * relative,
      };
      return { transmission, fault: column! < 5 ? ('weak' as const) : ('none' as const) };
    });
    const found = typicalAbsolute(result)!;
    expect(found.value).toBeCloseTo(3e-4, 9);
    expect(found.uncertainty).toBeCloseTo(6e-6, 9);
  });

  test('is null without a bare shot', () => {
    expect(typicalAbsolute(typicalResult(SMALL_ARRAY, 1))).toBeNull();
  });
});
