import { seededRandom } from '@twolamp/optics';
import { type CellResult, cellPlace, finding, previewSchema, type Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { measuredKernel, SMALL_ARRAY, typicalResult } from './fixtures/results.js';
import { flatScene } from './fixtures/scenes.js';
import { previewScene } from './preview-scene.js';
import type { Scene } from './scene.js';

const { rows, columns } = SMALL_ARRAY;
/** Of black tubes, which see some 1.12 times as wide from here; nothing comes from farther aside. */
const WIDTH_DEG = 0.89;
/** The array looks at 231 mm × 198 mm at this distance, a tube each 16.5 mm; the scene is larger. */
const SIZE = { width: 300, height: 260, widthMm: 300, distanceMm: 1500 };
const scene = (light: (x: number, y: number) => number) => flatScene(SIZE, light);
/** Something of everything: a bright field, bars, a slope. */
const motley = (x: number, y: number) => 0.2 + 0.002 * x + (x % 60 < 20 ? 0.2 : 0) + (y > 150 ? 0.15 : 0);

const run = (result: Result, of: Scene, options = {}) => previewScene(result, of, seededRandom(1), options);
const values = (result: Result, of: Scene, state: 'asMeasured' | 'repaired' | 'perfect' = 'asMeasured') =>
  run(result, of).preview.tubes.map((tube) => tube[state]);
const relative = (cell: CellResult, value: number) => ({
  transmission: { ...cell.transmission, relative: value },
});
const at = (row: number, column: number) => (row - 1) * columns + column - 1;
const UNSURE = { gainUncertainty: 0.001, dipGain: null, dipGainUncertainty: null };
const CROSSTALK = measuredKernel(2, 0.06, [
  [0.005, 0.01, 0.005],
  [0.01, 0, 0.01],
  [0.005, 0.01, 0.005],
]);

describe('previewScene', () => {
  test('an even scene: typical tubes all give its light, others their relative transmission, crosstalk or not', () => {
    const shares = (cell: CellResult) => relative(cell, 0.1 + ((cell.row! * 7 + cell.column! * 3) % 11) / 10);
    for (const crosstalk of [null, CROSSTALK]) {
      const result = { ...typicalResult(SMALL_ARRAY, WIDTH_DEG, shares), crosstalk };
      const { tubes } = run(
        result,
        scene(() => 0.4),
      ).preview;
      tubes.forEach((tube, i) => {
        expect(tube.perfect).toBeCloseTo(0.4, 6);
        expect(tube.asMeasured).toBeCloseTo(0.4 * result.cells[i].transmission.relative!, 6);
      });
    }
  });

  test('light adds up', () => {
    const result = {
      ...typicalResult(SMALL_ARRAY, WIDTH_DEG, (cell) => relative(cell, cell.column === 3 ? 0.5 : 1)),
      crosstalk: CROSSTALK,
    };
    const dots = (x: number, y: number) => ((x * y) % 13 === 0 ? 0.5 : 0);
    const [one, other, both] = [
      values(result, scene(motley)),
      values(result, scene(dots)),
      values(
        result,
        scene((x, y) => 2 * motley(x, y) + dots(x, y)),
      ),
    ];
    both.forEach((value, i) => {
      expect(value).toBeCloseTo(2 * one[i] + other[i], 5);
    });
  });

  test('right in the scene is right on the sheet, and top is top', () => {
    const result = typicalResult(SMALL_ARRAY, WIDTH_DEG);
    const { preview, pictures } = run(
      result,
      scene((x, y) => (x > 150 && y < 130 ? 1 : 0)),
    );
    for (const { row, column, asMeasured } of preview.tubes) {
      const expected = column! > columns / 2 && row! <= rows / 2 ? 1 : 0;
      const nearEdge = Math.abs(column! - 7.5) < 2 || Math.abs(row! - 6.5) < 2;
      if (!nearEdge) expect(asMeasured).toBeCloseTo(expected, 3);
    }
    const { positive, negative } = pictures.asMeasured;
    const pitch = positive.width / columns;
    const middleOf = (row: number, column: number) =>
      Math.floor((row - 0.5) * pitch) * positive.width + Math.floor((column - 0.5) * pitch);
    expect(positive.grey[middleOf(2, 12)]).toBe(255);
    expect(positive.grey[middleOf(2, 3)]).toBe(0);
    expect(positive.grey[middleOf(11, 12)]).toBe(0);
    expect(negative.grey[middleOf(2, 12)]).toBe(0);
  });

  test('tubes that look aside show what is there', () => {
    // All look 1° further to the right: the picture is that of a scene moved to the left by D·tan 1° = 26.2 mm.
    const aside = typicalResult(SMALL_ARRAY, WIDTH_DEG, ({ pointing }) => ({
      pointing: {
        ...pointing!,
        acrossDeg: (Math.atan(Math.tan((pointing!.acrossDeg * Math.PI) / 180) + 26 / 1500) * 180) / Math.PI,
      },
    }));
    const moved = values(
      typicalResult(SMALL_ARRAY, WIDTH_DEG),
      scene((x, y) => (x + 26 < 300 ? motley(x + 26, y) : 0)),
    );
    values(aside, scene(motley)).forEach((value, i) => {
      // Pixels of 1 mm against pixels that fit the acceptance of 26 mm.
      expect(Math.abs(value - moved[i])).toBeLessThan(0.003);
    });
  });

  test('repaired: the pull list’s tubes are those of the perfect array, all others stay', () => {
    const changed = (cell: CellResult): Partial<CellResult> => {
      if (cell.row === 3 && cell.column === 4)
        return { ...relative(cell, 0), fault: 'blocked', pointing: null };
      if (cell.row === 8 && cell.column === 9) {
        return {
          fault: 'misaimed',
          pointing: { ...cell.pointing!, acrossDeg: cell.pointing!.acrossDeg + 2 },
        };
      }
      return cell.row === 5 && cell.column === 5 ? { ...relative(cell, 0.6), fault: 'weak' } : {};
    };
    const pull = [
      { ...cellPlace(SMALL_ARRAY, at(3, 4)), ...UNSURE, fault: 'blocked' as const, gain: 0.01 },
      { ...cellPlace(SMALL_ARRAY, at(8, 9)), ...UNSURE, fault: 'misaimed' as const, gain: 0.004 },
    ];
    const { tubes, similarity } = run(
      { ...typicalResult(SMALL_ARRAY, WIDTH_DEG, changed), pull },
      scene(motley),
    ).preview;
    tubes.forEach((tube, i) => {
      const isWeak = i === at(5, 5);
      const isPulled = i === at(3, 4) || i === at(8, 9);
      expect(tube.repaired / tube.perfect).toBeCloseTo(isWeak ? 0.6 : 1, 6);
      if (!isPulled) expect(tube.asMeasured).toBe(tube.repaired);
    });
    expect(tubes[at(3, 4)].asMeasured).toBe(0);
    expect(Math.abs(tubes[at(8, 9)].asMeasured / tubes[at(8, 9)].perfect - 1)).toBeGreaterThan(0.05);
    expect(similarity!.asMeasured).toBeLessThan(similarity!.repaired);
    expect(similarity!.repaired).toBeLessThan(1);
    expect(similarity!.places).toBe((rows - 10) * (columns - 10));
  });

  test('a perfect array is like itself; the file holds to its format', () => {
    const { preview } = run(typicalResult(SMALL_ARRAY, WIDTH_DEG), scene(motley), {
      known: { fNumber: 8, exposureS: 180 },
    });
    expect(preview.similarity).toMatchObject({ asMeasured: 1, repaired: 1 });
    expect(previewSchema.parse(JSON.parse(JSON.stringify(preview)))).toEqual(preview);
    expect(preview.scene).toMatchObject({ photo: 'scene.png', widthM: 0.3, heightM: 0.26, distanceM: 1.5 });
  });

  test('where nothing was measured but light, it says what it took instead', () => {
    const { preview } = run(
      typicalResult(SMALL_ARRAY, WIDTH_DEG, () => ({ pointing: null })),
      scene(motley),
    );
    expect(preview.findings.map(({ code }) => code)).toEqual([
      'pointing-assumed',
      'acceptance-assumed',
      'crosstalk-left-out',
      'nothing-to-pull',
      'field-of-view',
      'exposure-predicted',
    ]);
    expect(preview.exposure!.basis).toBe('predicted');
    // 13 × 11 steps of 16.5 mm
    expect(preview.scene.field.rightM).toBeCloseTo(0.10725, 6);
    expect(preview.scene.field.bottomM).toBeCloseTo(-0.09075, 6);
    expect(preview.findings[4].values).toEqual({
      widthM: expect.closeTo(0.2145, 6) as number,
      heightM: expect.closeTo(0.1815, 6) as number,
    });
  });

  test.each([
    // 60 mm × 52 mm: four tubes by three
    ['small', { widthMm: 60 }, 156, true],
    ['far too small', { widthMm: 1 }, 168, false],
  ])('a scene that is %s', (_, change, beside, hasSimilarity) => {
    const { preview } = run(typicalResult(SMALL_ARRAY, WIDTH_DEG), { ...scene(motley), ...change });
    expect(preview.findings).toContainEqual(
      finding('tubes-look-past-scene', 'scene', { beside, tubes: 168 }),
    );
    expect(preview.similarity !== null).toBe(hasSimilarity);
  });

  test('a dark scene stays dark, a clipped one is noted, an unknown transmission too', () => {
    const result = typicalResult(SMALL_ARRAY, WIDTH_DEG, (cell) =>
      cell.row === 1
        ? { seen: cell.column! < 4, transmission: { ...cell.transmission, relative: null } }
        : {},
    );
    const dark = scene(() => 0);
    dark.photo.clipped.fill(1, 0, 780);
    const { preview, pictures } = run(result, dark);
    expect(Math.max(...pictures.perfect.positive.grey)).toBe(0);
    expect(preview.white).toBe(1);
    const share = expect.closeTo(0.01, 3) as number;
    expect(preview.findings).toContainEqual(finding('scene-clipped', 'scene', { share }));
    expect(preview.findings).toContainEqual(
      finding('light-filled-in', 'transmission', { unknown: 3, tubes: 168 }),
    );
    const lit = values(
      result,
      scene(() => 1),
    ).slice(0, 5);
    [1, 1, 1, 0, 0].forEach((value, i) => {
      expect(lit[i]).toBeCloseTo(value, 6);
    });
  });

  test('crosstalk that can’t be taken out is noted', () => {
    const kernel = [
      [0.2, 0.2, 0.2],
      [0.2, 0, 0.2],
      [0, 0, 0],
    ];
    const result = {
      ...typicalResult(SMALL_ARRAY, WIDTH_DEG, (cell) => relative(cell, cell.column! % 2)),
      crosstalk: measuredKernel(2, 0.06, kernel),
    };
    const { findings } = run(result, scene(motley)).preview;
    expect(findings).toContainEqual(finding('crosstalk-too-strong', 'crosstalk', {}));
  });

  test.each([
    ['scene.widthMm', { widthMm: 0 }],
    ['scene.distanceMm', { distanceMm: Number.NaN }],
  ])('refuses a bad %s', (name, change) => {
    const bad = { ...scene(motley), ...change };
    expect(() => run(typicalResult(SMALL_ARRAY, WIDTH_DEG), bad)).toThrow(`${name} must be above 0`);
  });
});
