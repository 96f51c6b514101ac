import { compareResults } from '@twolamp/compare';
import { seededRandom } from '@twolamp/optics';
import { designTable, planBench, type PlanRequest, planText, predictDesign } from '@twolamp/plan';
import {
  benchPage,
  benchView,
  cameraView,
  comparisonPage,
  type Drawing,
  historyPage,
  previewPage,
  pullMap,
  reportPage,
  weighingPage,
} from '@twolamp/report';
import { finding, type Result, type Weighing } from '@twolamp/session';
import { CAUTIONS } from '@twolamp/words';
import { EXAMPLE_SOURCE } from '../../packages/report/src/example/example-source.js';
import { exampleComparison } from '../../packages/words/src/example/example-comparison.js';
import { examplePreview } from '../../packages/words/src/example/example-preview.js';
import { exampleEvidence, exampleResult } from '../../packages/words/src/example/example-result.js';
import { heldText, textOf } from './page-text.js';

const RIGHT = exampleResult();
const EVIDENCE = exampleEvidence('data:,');
const PRINT = { positive: 'data:,', negative: 'data:,' };
const PICTURES = { scene: 'data:,', asMeasured: PRINT, repaired: PRINT, perfect: PRINT };
const { comparison, earlier, later } = exampleComparison();

/** What the session states and its photos contradict. */
const DOUBTFUL: Result = {
  ...RIGHT,
  doubtful: true,
  resolving: { ...RIGHT.resolving!, doubtful: true },
  cells: RIGHT.cells.map((cell) => ({
    ...cell,
    pointing: cell.pointing && { ...cell.pointing, doubtful: true },
  })),
  repairs: [
    {
      tubes: RIGHT.pull.length,
      light: 0.024,
      lightUncertainty: 0.001,
      dip: null,
      dipUncertainty: null,
      fartherM: null,
      fartherUncertaintyM: null,
    },
  ],
  findings: [
    finding('doubt-length', 'array.front-pitch', {
      length: 'front-pitch',
      statedMm: 4.8,
      fittingMm: 3.8,
      fittingFactor: 3.8 / 4.8,
      fittingUncertainty: 0.005,
    }),
    ...RIGHT.findings,
  ],
};
/** Even photos of faultless tubes, and nothing else. */
const BARE: Result = {
  ...RIGHT,
  resolving: null,
  crosstalk: null,
  wall: null,
  pairs: [],
  pull: [],
  repairs: [],
  photos: RIGHT.photos
    .filter(({ kind }) => kind === 'even')
    .map((photo) => ({ ...photo, exposureS: null, iso: null, clippedShare: 0 })),
  findings: [
    finding('no-pairs', 'resolving', { distancesWanted: 4 }),
    finding('no-bare', 'transmission.absolute', {}),
    finding('lamps-too-few', 'pointing', { lamps: 0, needed: 9 }),
    finding('no-single', 'crosstalk', {}),
  ],
  cells: RIGHT.cells.map((cell) => ({
    ...cell,
    transmission: { ...cell.transmission, absolute: null, absoluteUncertainty: null },
    pointing: null,
    bend: null,
    cureShiftMm: null,
    crosstalk: null,
    fault: 'none',
    reasons: [],
  })),
};
/** Every hole of the example, written as a map. */
const MAP = Array.from({ length: RIGHT.array.rows }, () => '#'.repeat(RIGHT.array.columns));
const bounded = (bound: 'beyond' | 'nearer'): Result => ({
  ...RIGHT,
  resolving: { ...RIGHT.resolving!, bound, lowM: null, highM: null, angleLowDeg: null, angleHighDeg: null },
});

/** The same tubes stacked without rows and columns. */
const PACKED: Result = {
  ...RIGHT,
  array: {
    name: 'Bundle',
    arrangement: 'packed',
    rows: 0,
    columns: 0,
    tubes: RIGHT.cells.length,
    tubeLengthMm: 150,
    tubeBoreMm: 2.6,
    backPitchMm: 3,
    frontPitchMm: 3,
  },
  cells: RIGHT.cells.map((cell) => ({ ...cell, row: null, column: null })),
  pull: RIGHT.pull.map((entry) => ({ ...entry, row: null, column: null })),
  crosstalk: RIGHT.crosstalk && { ...RIGHT.crosstalk, kernel: [], kernelUncertainty: [] },
};
/** Taken on known days, the later one doubtful. */
const dated = (result: Result, takenAt: string): Result => ({
  ...result,
  photos: result.photos.map((photo) => ({ ...photo, takenAt })),
});
/** No pair shot gave a dip. */
const WITHOUT_DIPS: Result = {
  ...RIGHT,
  resolving: null,
  pairs: RIGHT.pairs.map((pair) => ({ ...pair, dip: null, dipUncertainty: null, separate: null })),
};
const HEALTHY: Result = {
  ...RIGHT,
  pull: [],
  repairs: [],
  cells: RIGHT.cells.map((cell) => ({ ...cell, fault: 'none', reasons: [], bend: null, cureShiftMm: null })),
};

const WEIGHING: Weighing = {
  format: 'twolamp-weighing/1',
  array: 'Reed panel',
  minutesPerTube: { value: 2, stated: false },
  spacingM: 0.06,
  subject: { widthM: 0.5, distanceM: 2 },
  lens: { fNumber: 8, exposureS: 180 },
  ways: (['as it is', 'mended', 'rebuilt: matte walls'] as const).map((way, n) => ({
    way,
    tubes: 720,
    newTubes: [0, 11, 720][n]!,
    hours: [0, 0.37, 24][n]!,
    resolvingM: {
      value: 3.12 + 0.2 * n,
      low: 3.01 + 0.2 * n,
      high: 3.24 + 0.2 * n,
      basis: n === 2 ? 'predicted' : 'measured',
      bound: 'within',
    },
    fieldDeg: { across: 13.1, up: 9, uncertainty: 0.06, basis: 'measured' },
    rows: 24,
    columns: 30,
    cellsAcrossSubject: { value: 21.7, uncertainty: 0.04, basis: 'measured' },
    effectiveFNumber: { value: 30.2 + n, uncertainty: 0.3, basis: 'measured' },
    exposure: { seconds: 2560 + n, uncertaintyS: 50, basis: 'measured' },
    preview: null,
  })),
};

heldText('report', () => textOf(reportPage(RIGHT, EVIDENCE, EXAMPLE_SOURCE)));
heldText('report-doubtful', () => textOf(reportPage(DOUBTFUL, null, EXAMPLE_SOURCE)));
heldText('report-of-even-light', () => textOf(reportPage(BARE, null, EXAMPLE_SOURCE)));
heldText('report-with-map', () =>
  textOf(reportPage({ ...BARE, array: { ...BARE.array, map: MAP } }, null, EXAMPLE_SOURCE)),
);
heldText('report-separate-everywhere', () => textOf(reportPage(bounded('beyond'), null, EXAMPLE_SOURCE)));
heldText('report-separate-nowhere', () => textOf(reportPage(bounded('nearer'), null, EXAMPLE_SOURCE)));
heldText('report-packed', () =>
  textOf(
    reportPage(
      PACKED,
      {
        ...EVIDENCE,
        packing: {
          breaks: [40, 41],
          slips: [[90, 91]],
          gaps: [
            [130, 131],
            [200, 201],
          ],
        },
      },
      EXAMPLE_SOURCE,
    ),
  ),
);
heldText('report-without-dips', () => textOf(reportPage(WITHOUT_DIPS, EVIDENCE, EXAMPLE_SOURCE)));
heldText('report-healthy', () => textOf(reportPage(HEALTHY, EVIDENCE, EXAMPLE_SOURCE)));
/** Photos of two days, some of which don't say. */
heldText('report-of-two-days', () => {
  const takenAt = ['2026-03-02T00:10:00', '2026-03-01T23:50:00', null] as const;
  const photos = RIGHT.photos.map((photo, n) => ({ ...photo, takenAt: takenAt[n % 3]! }));
  return textOf(reportPage({ ...RIGHT, photos }, null, EXAMPLE_SOURCE));
});
heldText('history-dated', () =>
  textOf(
    historyPage([dated(earlier, '2026-03-01T20:15:00'), dated(DOUBTFUL, '2026-04-11T21:00:00')], {
      ...EXAMPLE_SOURCE,
      files: ['1.json', '2.json'],
    }),
  ),
);
heldText('comparison-dated', () =>
  textOf(
    comparisonPage(
      comparison,
      { result: dated(earlier, '2026-03-01T20:15:00'), evidence: EVIDENCE },
      { result: dated(later, '2026-04-11T21:00:00'), evidence: null },
      EXAMPLE_SOURCE,
    ),
  ),
);
heldText('comparison', () =>
  textOf(
    comparisonPage(
      comparison,
      { result: earlier, evidence: EVIDENCE },
      { result: later, evidence: EVIDENCE },
      EXAMPLE_SOURCE,
    ),
  ),
);
heldText('comparison-of-unlike', () =>
  textOf(
    comparisonPage(
      compareResults(BARE, RIGHT),
      { result: BARE, evidence: null },
      { result: RIGHT, evidence: null },
      EXAMPLE_SOURCE,
    ),
  ),
);
heldText('history', () =>
  textOf(
    historyPage([earlier, later, bounded('beyond')], {
      ...EXAMPLE_SOURCE,
      files: ['1.json', '2.json', '3.json'],
    }),
  ),
);
heldText('preview', () => textOf(previewPage(examplePreview(), PICTURES, EXAMPLE_SOURCE)));
heldText('weighing', () => textOf(weighingPage(WEIGHING, new Map(), EXAMPLE_SOURCE)));
heldText('weighing-with-pictures', () => {
  const ways = WEIGHING.ways.map((way, n) => ({ ...way, preview: ['as-it-is.png', 'mended.png', null][n]! }));
  const pictures = new Map(['as-it-is.png', 'mended.png'].map((name) => [name, 'data:,']));
  return textOf(weighingPage({ ...WEIGHING, ways }, pictures, EXAMPLE_SOURCE, ['A doubt.']));
});

/** Of hair lines and open circles, of which a drawing has many, so many are written, and how many there are. */
const FIRST_FINE = 12;

/** Words, lines and circles of a drawing with their places, to a tenth of a millimetre. */
function drawn({ title, widthMm, heightMm, shapes }: Drawing): string {
  const place = ([x, y]: readonly [number, number]) => `${x.toFixed(1)} ${y.toFixed(1)}`;
  const fine: string[] = [];
  const lines = shapes.flatMap((shape) => {
    if (shape.kind === 'text') return [`${place(shape.at)} ${shape.sizeMm.toFixed(1)} ${shape.text}`];
    const isCircle = shape.kind === 'circle';
    const written = isCircle
      ? `${place(shape.at)} ${shape.filled ? '●' : `○ ${shape.radiusMm.toFixed(2)}`}`
      : `${shape.points.map(place).join(' – ')} ${shape.weight}`;
    if (isCircle ? shape.filled : shape.weight !== 'hair') return [written];
    fine.push(written);
    return [];
  });
  const some = [...fine.slice(0, FIRST_FINE), `${fine.length} hair lines and open circles`];
  return `${[`${title}: ${widthMm.toFixed(1)} × ${heightMm.toFixed(1)} mm`, ...lines, ...some].join('\n').replaceAll('\u00a0', ' ')}\n`;
}

heldText('pull-map-back', () => drawn(pullMap(RIGHT, 'back')));
heldText('pull-map-front', () => drawn(pullMap(RIGHT, 'front')));
heldText('pull-map-packed', () => drawn(pullMap(PACKED, 'front')));
heldText('bench-page', () => drawn(benchPage(RIGHT, EXAMPLE_SOURCE)));
heldText('bench-page-packed', () => drawn(benchPage(PACKED, EXAMPLE_SOURCE)));
heldText('bench-page-healthy', () => drawn(benchPage(HEALTHY, EXAMPLE_SOURCE)));
heldText('camera-packed', () => drawn(cameraView(PACKED.array)));
heldText('camera', () => drawn(cameraView(RIGHT.array)));
heldText('bench', () =>
  drawn(
    benchView({
      title: 'Bench',
      tubeLengthMm: 150,
      places: [
        { acrossMm: 0, upMm: 0, distanceMm: 2000, spacingMm: 60 },
        { acrossMm: -300, upMm: 500, distanceMm: 1000, spacingMm: null },
      ],
    }),
  ),
);
heldText('bench-of-pairs', () =>
  drawn(
    benchView({
      title: 'Bench',
      tubeLengthMm: 150,
      places: [
        { acrossMm: 0, upMm: 0, distanceMm: 2000, spacingMm: 60 },
        { acrossMm: 0, upMm: 0, distanceMm: 3000, spacingMm: 80 },
      ],
    }),
  ),
);

const REQUEST: PlanRequest = {
  array: {
    name: 'Panel',
    arrangement: 'square',
    rows: 24,
    columns: 30,
    tubeLengthMm: 190,
    tubeBoreMm: 3.2,
    backPitchMm: 3.7,
    frontPitchMm: 4.6,
  },
  spacingMm: 60,
  roomMm: 4000,
  criterion: { name: 'rayleigh', requiredDip: 0.265 },
  known: { fNumber: 8, exposureS: 180 },
};
/** Far apart at the front: lamps fall between the tubes, and no sweep of a practical length does. */
const GAPPY: PlanRequest = {
  ...REQUEST,
  array: {
    ...REQUEST.array,
    rows: 12,
    columns: 12,
    tubeBoreMm: 2.2,
    frontPitchMm: 9,
    tubeWall: 'matte black',
  },
};

heldText('plan', () => planText(planBench(REQUEST, seededRandom(1), 'here'), CAUTIONS));
heldText('plan-with-gaps', () => planText(planBench(GAPPY, seededRandom(1), 'here'), CAUTIONS, 'evening'));
heldText('plan-of-stated-walls', () =>
  planText(
    planBench(
      { ...REQUEST, roomMm: 2000, array: { ...REQUEST.array, frontPitchMm: 3.7, tubeWall: 'glossy black' } },
      seededRandom(1),
      'here',
    ),
    CAUTIONS,
  ),
);
heldText('designs', () =>
  designTable([REQUEST, GAPPY].map((request) => predictDesign(request, seededRandom(1), 'here'))),
);
