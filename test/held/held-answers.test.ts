import type { CellResult, Comparison, Preview, Resolving, Result, Weighing } from '@twolamp/session';
import {
  type Answer,
  comparisonHeadlines,
  doubtsOfBoth,
  finishingAnswer,
  headlines,
  lightAnswer,
  missingFigures,
  otherFindings,
  overallAnswer,
  detailAnswer,
  exposureAnswer,
  remedySentence,
  repairAnswer,
  resolvingAnswer,
  resolvingChangeAnswer,
  scaleAnswer,
  tubeLabel,
  tubesAnswer,
  tubesChangeAnswer,
  findingSentence,
  worthSentence,
} from '@twolamp/words';
import { exampleComparison } from '../../packages/words/src/example/example-comparison.js';
import { examplePreview } from '../../packages/words/src/example/example-preview.js';
import { exampleResult } from '../../packages/words/src/example/example-result.js';
import { heldText } from './page-text.js';

/* What the answers say where a session, a comparison, a preview or a weighing gives less than all, or something else. */

const RESULT = exampleResult();

function told(answer: Answer | null): string[] {
  return answer === null ? ['–'] : [answer.headline, ...answer.details.map((detail) => `  ${detail}`)];
}

/** A name with the lines under it that aren't those of the unchanged example. */
function differing(name: string, lines: readonly string[], usual: readonly string[]): string {
  const new_ = lines.filter((line) => !usual.includes(line));
  const gone = usual.filter((line) => !lines.includes(line)).length;
  return [`## ${name}: ${gone} lines of the example are not there`, ...new_]
    .join('\n')
    .replaceAll('\u00a0', ' ');
}

const ofResult = (result: Result): string[] => [
  ...headlines(result),
  ...told(resolvingAnswer(result)),
  ...told(tubesAnswer(result)),
  ...told(repairAnswer(result)),
  ...told(lightAnswer(result)),
  ...told(finishingAnswer(result)),
  ...missingFigures(result).flatMap(({ title, says }) => [title, ...says.map((one) => `  ${one}`)]),
  ...otherFindings(result).map(findingSentence),
];

const resolving = (change: Partial<Resolving>): Result => ({
  ...RESULT,
  resolving: { ...RESULT.resolving!, ...change },
});
const cells = (change: (cell: CellResult, n: number) => Partial<CellResult>): Result => ({
  ...RESULT,
  cells: RESULT.cells.map((cell, n) => ({ ...cell, ...change(cell, n) })),
});
const light = (change: (cell: CellResult) => Partial<CellResult['transmission']>) =>
  cells((cell) => ({ transmission: { ...cell.transmission, ...change(cell) } }));
const widths = (factor: number) =>
  cells(({ pointing }) => ({
    pointing: pointing && { ...pointing, acceptanceWidthDeg: factor * pointing.acceptanceWidthDeg! },
  }));
const repairs = (change: object): Result => ({
  ...RESULT,
  repairs: (RESULT.repairs ?? []).map((repair) => ({ ...repair, ...change })),
});
const pulled = (count: number): Result => {
  const { repairs: _, ...rest } = RESULT;
  return { ...rest, pull: RESULT.pull.slice(0, count) };
};
const { distanceM, lowM, highM } = RESULT.resolving!;
/** Every hole of the example but some at the right or in the middle. */
const mapped = (isOpen: (row: number, column: number) => boolean): Result => ({
  ...RESULT,
  array: {
    ...RESULT.array,
    map: Array.from({ length: RESULT.array.rows }, (_, row) =>
      Array.from({ length: RESULT.array.columns }, (_, column) => (isOpen(row, column) ? 'o' : '#')).join(''),
    ),
  },
});

const RESULTS: Record<string, Result> = {
  'no interval': resolving({ lowM: null, highM: null, angleLowDeg: null, angleHighDeg: null }),
  'ends of the angle not stated': resolving({ angleLowDeg: null, angleHighDeg: null }),
  'another confidence': resolving({ confidence: 0.6827 }),
  'Sparrow’s criterion': resolving({ criterion: 'sparrow', requiredDip: 0 }),
  'a stated criterion': resolving({ criterion: 'stated', requiredDip: 0.1 }),
  'predicted nearer': resolving({ predictedDistanceM: 0.8 * lowM!, predictedDistanceUncertaintyM: 0.02 }),
  'predicted farther': resolving({ predictedDistanceM: 1.2 * highM!, predictedDistanceUncertaintyM: 0.02 }),
  'predicted as measured': resolving({ predictedDistanceM: distanceM, predictedDistanceUncertaintyM: null }),
  'beyond, predicted nearer': resolving({
    bound: 'beyond',
    lowM: null,
    highM: null,
    predictedDistanceM: 0.5 * distanceM,
  }),
  'beyond, predicted farther': resolving({
    bound: 'beyond',
    lowM: null,
    highM: null,
    predictedDistanceM: 2 * distanceM,
  }),
  'nearer, predicted nearer': resolving({
    bound: 'nearer',
    lowM: null,
    highM: null,
    predictedDistanceM: 0.5 * distanceM,
  }),
  'nearer, predicted farther': resolving({
    bound: 'nearer',
    lowM: null,
    highM: null,
    predictedDistanceM: 2 * distanceM,
  }),
  'pairs that gave no distance': { ...RESULT, resolving: null, findings: [] },
  'narrow tubes': widths(0.25),
  'tubes of middling width': widths(0.6),
  'widths not measured': cells(({ pointing }) => ({
    pointing: pointing && { ...pointing, acceptanceWidthDeg: null },
  })),
  'a cell screen': {
    ...RESULT,
    array: { ...RESULT.array, kind: 'cell-screen' },
    resolving: null,
    pull: RESULT.pull,
  },
  'more light out than in': light(() => ({ absolute: 1.4, absoluteUncertainty: 0.05 })),
  'as much light as uncertainty': light(() => ({ absolute: 1e-4, absoluteUncertainty: 1e-4 })),
  'uncertainty of light not known': light(() => ({ absoluteUncertainty: null })),
  'no bare shot': light(() => ({ absolute: null, absoluteUncertainty: null })),
  'no bare shot, tubes unlike': light(({ transmission, cell }) => ({
    absolute: null,
    absoluteUncertainty: null,
    relative: transmission.relative! * (cell % 2 === 0 ? 0.2 : 1.8),
  })),
  'no light at all': light(() => ({ relative: null, absolute: null })),
  'no healthy tube': cells(() => ({ fault: 'weak' })),
  'all healthy': { ...cells(() => ({ fault: 'none', reasons: [] })), pull: [], repairs: [] },
  'nothing to pull': { ...RESULT, pull: [], repairs: [] },
  'one to pull': pulled(1),
  'two to pull': pulled(2),
  packed: { ...RESULT, array: { ...RESULT.array, arrangement: 'packed' } },
  'directions doubtful': cells(({ pointing }) => ({ pointing: pointing && { ...pointing, doubtful: true } })),
  'directions of the right half alone': cells(({ column, pointing }) => ({
    pointing: column! > 25 ? null : pointing,
  })),
  'hardly any direction': cells(({ column, pointing }) => ({ pointing: column! > 5 ? null : pointing })),
  'repairs that bring much': repairs({ fartherM: 0.4, fartherUncertaintyM: 0.02 }),
  'repairs that bring little': repairs({ fartherM: 0.003, fartherUncertaintyM: 0.002 }),
  'repairs that take away': repairs({ fartherM: -0.4, fartherUncertaintyM: 0.02 }),
  'repairs without a distance': repairs({ fartherM: null, fartherUncertaintyM: null }),
  'columns to come': mapped((_, column) => column >= 20),
  'rows and columns to come': mapped((row, column) => row >= 20 || column >= 20),
  'gaps to fill': mapped((row, column) => row > 3 && row < 6 && column === 9),
};

heldText('answers', () => {
  const usual = ofResult(RESULT);
  return [
    ['## the example', ...usual].join('\n').replaceAll('\u00a0', ' '),
    ...Object.entries(RESULTS).map(([name, result]) => differing(name, ofResult(result), usual)),
  ].join('\n');
});

const { comparison: COMPARISON, earlier, later } = exampleComparison();
const ofComparison = (comparison: Comparison): string[] => [
  ...comparisonHeadlines(comparison, earlier, later),
  ...told(overallAnswer(comparison)),
  ...told(resolvingChangeAnswer(comparison, earlier, later)),
  ...told(tubesChangeAnswer(comparison)),
  ...told(scaleAnswer(comparison)),
];
const verdicts = (list: readonly Comparison['tubes'][number]['verdict'][]): Comparison => ({
  ...COMPARISON,
  tubes: COMPARISON.tubes.map((tube, n) => ({ ...tube, verdict: list[n] ?? 'unchanged' })),
});
const change = (of: Partial<NonNullable<Comparison['resolving']>>): Comparison => ({
  ...COMPARISON,
  resolving: { ...COMPARISON.resolving!, ...of },
});
const COMPARISONS: Record<string, Comparison> = {
  nearer: change({ verdict: 'nearer', differenceM: -0.16, lowM: -0.27, highM: -0.05 }),
  'no difference': change({ verdict: 'no difference shown', differenceM: 0.02, lowM: -0.1, highM: 0.14 }),
  'no interval': change({ lowM: null, highM: null }),
  'distances not compared': { ...COMPARISON, resolving: null },
  'tubes not compared': { ...COMPARISON, tubes: [] },
  'neither compared': { ...COMPARISON, resolving: null, tubes: [] },
  'no difference, tubes not compared': { ...change({ verdict: 'no difference shown' }), tubes: [] },
  'no scale': { ...COMPARISON, scale: null },
  'absolute light': { ...COMPARISON, scale: { later: 0.8, uncertainty: 0.03, basis: 'absolute' } },
  'scale without uncertainty': { ...COMPARISON, scale: { later: 1.3, uncertainty: null, basis: 'absolute' } },
  'one of each verdict': verdicts(['new fault', 'worse', 'mended', 'still faulty', 'changed']),
  'several of each verdict': verdicts([
    ...(['new fault', 'worse', 'mended', 'still faulty', 'changed'] as const).flatMap((one) => [
      one,
      one,
      one,
    ]),
  ]),
  'all unchanged': verdicts([]),
  'nothing but new faults': { ...verdicts(['new fault', 'new fault']), resolving: null },
  'farther, with new faults': verdicts(['new fault']),
  'nearer, with mended tubes': {
    ...verdicts(['mended']),
    resolving: change({ verdict: 'nearer', differenceM: -0.16, lowM: -0.27, highM: -0.05 }).resolving,
  },
};

heldText('answers-of-comparisons', () => {
  const usual = ofComparison(COMPARISON);
  const doubtful = { ...earlier, findings: [], doubtful: true } as Result;
  return [
    ['## the example', ...usual].join('\n').replaceAll('\u00a0', ' '),
    ...Object.entries(COMPARISONS).map(([name, one]) => differing(name, ofComparison(one), usual)),
    ...doubtsOfBoth(doubtful, later),
  ].join('\n');
});

const PREVIEW = examplePreview();
const exposed = (of: Partial<NonNullable<Preview['exposure']>>): Preview => ({
  ...PREVIEW,
  exposure: { ...PREVIEW.exposure!, ...of },
});
const known = (of: object) => exposed({ known: { ...PREVIEW.exposure!.known!, ...of } });
const PREVIEWS: Record<string, Preview> = {
  'the example': PREVIEW,
  'no similarity': { ...PREVIEW, similarity: null },
  'nothing to repair': { ...PREVIEW, similarity: { asMeasured: 0.786, repaired: 0.7861, places: 10 } },
  'no exposure': { ...PREVIEW, exposure: null },
  predicted: exposed({ basis: 'predicted', fNumberUncertainty: null }),
  'no known exposure': exposed({ known: null }),
  'predicted, no known exposure': exposed({ basis: 'predicted', known: null }),
  'faster than the lens': known({ stops: -1.25, exposureS: 76, exposureUncertaintyS: 2 }),
  hours: known({ exposureS: 26_000, exposureUncertaintyS: 400 }),
  'uncertainty not known': known({ exposureUncertaintyS: null }),
};

heldText('answers-of-previews', () =>
  Object.entries(PREVIEWS)
    .map(([name, one]) =>
      [`## ${name}`, ...told(detailAnswer(one)), ...told(exposureAnswer(one))]
        .join('\n')
        .replaceAll('\u00a0', ' '),
    )
    .join('\n'),
);

type Way = Weighing['ways'][number];
const way = (name: string, of: Partial<Way>): Way => ({
  way: name as Way['way'],
  tubes: 720,
  newTubes: 0,
  hours: 0,
  resolvingM: { value: 3.12, low: 3.01, high: 3.24, basis: 'measured', bound: 'within' },
  fieldDeg: { across: 13.1, up: 9, uncertainty: 0.06, basis: 'measured' },
  rows: 24,
  columns: 30,
  cellsAcrossSubject: null,
  effectiveFNumber: null,
  exposure: null,
  preview: null,
  ...of,
});
const weighing = (...ways: Way[]): Weighing => ({
  format: 'twolamp-weighing/1',
  array: 'Reed panel',
  minutesPerTube: { value: 2, stated: false },
  spacingM: 0.06,
  subject: null,
  lens: null,
  ways,
});
const reach = (value: number, low: number | null, high: number | null): Way['resolvingM'] => ({
  value,
  low,
  high,
  basis: 'predicted',
  bound: 'within',
});
const NOW = way('as it is', {});
const WEIGHINGS: Record<string, Weighing> = {
  'nothing to do': weighing(NOW),
  'no way': weighing(),
  finished: weighing(NOW, way('finished', { tubes: 900, newTubes: 180, hours: 6, columns: 36 })),
  'finished, gaps': weighing(NOW, way('finished', { tubes: 721, newTubes: 1, hours: 0.03 })),
  'mended, clearly farther': weighing(
    NOW,
    way('mended', { newTubes: 11, hours: 0.37, resolvingM: reach(3.6, 3.4, 3.8) }),
  ),
  'mended, clearly less far': weighing(
    NOW,
    way('mended', { newTubes: 1, hours: 0.03, resolvingM: reach(2.6, 2.5, 2.7) }),
  ),
  'mended, within the uncertainty': weighing(
    NOW,
    way('mended', { newTubes: 11, hours: 12.3, resolvingM: reach(3.2, 3, 3.4) }),
  ),
  'mended, as far as now': weighing(
    NOW,
    way('mended', { newTubes: 11, hours: 12.3, resolvingM: reach(3.12, 3, 3.3) }),
  ),
  'mended, distance not known': weighing(NOW, way('mended', { newTubes: 11, hours: 0.37, resolvingM: null })),
  rebuilt: weighing(
    NOW,
    way('rebuilt: matte walls', { newTubes: 720, hours: 24, resolvingM: reach(4.5, 4.2, 4.8) }),
  ),
  'rebuilt, distance not known': weighing(
    NOW,
    way('rebuilt: matte walls', { newTubes: 720, hours: 24, resolvingM: null }),
  ),
};

heldText('answers-of-weighings', () =>
  Object.entries(WEIGHINGS)
    .map(([name, one]) => `## ${name}\n${worthSentence(one)}`.replaceAll('\u00a0', ' '))
    .join('\n'),
);

heldText('tubes', () =>
  RESULT.cells
    .filter(({ fault }, n) => fault !== 'none' || n === 0)
    .flatMap((cell) => [
      tubeLabel(cell),
      `  from the back: ${remedySentence(cell, 'back')}`,
      `  from the front: ${remedySentence(cell, 'front')}`,
    ])
    .join('\n')
    .replaceAll('\u00a0', ' '),
);
