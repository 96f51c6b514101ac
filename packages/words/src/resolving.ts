import { absorbingWidthRad, lampSpreadCells } from '@twolamp/optics';
import { type Resolving, type Result, typicalWidthDeg } from '@twolamp/session';
import { distanceValue, measuredDistance } from './distance.js';
import { sentencesAbout } from './findings/index.js';
import { doubts } from './missing.js';
import {
  decimal,
  interval,
  intervalDecimals,
  lengthM,
  plusMinus,
  significant,
  withUnit,
} from './quantity.js';
import type { Answer } from './sentence.js';

const DEG_PER_RAD = 180 / Math.PI;

const CRITERION_WORDS = new Map([
  ['rayleigh', 'Rayleigh’s criterion'],
  ['sparrow', 'Sparrow’s criterion'],
]);

/** “Rayleigh’s criterion, a dip of at least 0.265”. */
function criterionWords({ criterion, requiredDip }: Resolving): string {
  const name = CRITERION_WORDS.get(criterion) ?? 'the stated criterion';
  const dip = requiredDip === 0 ? 'any dip at all' : `a dip of at least ${requiredDip}`;
  return `${name}, ${dip}`;
}

/** The angle at another distance, seen from the point that the stated angle is seen from. */
function angleAtDeg(resolving: Resolving, distanceM: number): number {
  const fromM = resolving.spacingM / Math.tan(resolving.angleDeg / DEG_PER_RAD) - resolving.distanceM;
  return Math.atan(resolving.spacingM / (distanceM + fromM)) * DEG_PER_RAD;
}

function distanceSentence(resolving: Resolving, lamps: string): string {
  const { lowM, highM, confidence } = resolving;
  const share = withUnit(significant(confidence * 100, 3).replace(/\.0+$/, ''), '%');
  if (lowM === null || highM === null) {
    return `${lamps} stay separate up to about ${distanceValue(measuredDistance(resolving))} away; the shots don’t give an interval.`;
  }
  const value = distanceValue(measuredDistance(resolving));
  return `${lamps} stay separate up to ${value} away (${share} interval ${interval(lowM, highM, 'm')}).`;
}

function angleSentence(resolving: Resolving): string {
  const { lowM, highM, angleDeg, bound } = resolving;
  if (bound === 'beyond') return `As an angle: finer than ${withUnit(significant(angleDeg, 3), '°')}.`;
  if (bound === 'nearer') return `As an angle: coarser than ${withUnit(significant(angleDeg, 3), '°')}.`;
  if (lowM === null || highM === null)
    return `As an angle: about ${withUnit(significant(angleDeg, 3), '°')}.`;
  const fine = resolving.angleLowDeg ?? angleAtDeg(resolving, highM);
  const coarse = resolving.angleHighDeg ?? angleAtDeg(resolving, lowM);
  const value = withUnit(decimal(angleDeg, intervalDecimals(fine, coarse)), '°');
  return `As an angle: ${value} (${interval(fine, coarse, '°')}), for lamps of any spacing.`;
}

/**
 * What keeps the array from seeing finer, from the cells that one lamp covers at the resolving distance.
 *
 * Below one cell the tubes stand too far apart, two and more they see too wide. Common practice, no source.
 */
export function limitSentence(result: Result): string | null {
  const { resolving, array } = result;
  if (resolving === null) return null;
  const measuredDeg = typicalWidthDeg(result);
  const measured = measuredDeg !== null;
  const widthDeg = measured
    ? measuredDeg
    : absorbingWidthRad({ boreMm: array.tubeBoreMm, lengthMm: array.tubeLengthMm }) * DEG_PER_RAD;
  const cells = lampSpreadCells(array, widthDeg / DEG_PER_RAD, resolving.distanceM * 1000);
  const basis = measured
    ? `a typical tube sees ${withUnit(significant(widthDeg, 3), '°')} wide`
    : `by the stated dimensions, with perfectly black walls, a tube sees ${withUnit(significant(widthDeg, 2), '°')} wide`;
  const spread = `${basis}, so at that distance the light of one lamp covers ${significant(cells, 2)} cells (the spots of neighbouring tubes on the sheet)`;
  if (cells < 1)
    return `What limits it: the gaps between tubes. ${upper(spread)}, and two lamps can fall between them.`;
  if (cells < 2)
    return `What limits it: the width of a tube’s view and the spacing of the tubes about alike. ${upper(spread)}.`;
  return `What limits it: the width of a tube’s view, not the number of tubes. ${upper(spread)}.`;
}

function upper(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** “2.21 ± 0.05 m”; null without a prediction. */
export function predictedText({
  predictedDistanceM,
  predictedDistanceUncertaintyM,
}: Resolving): string | null {
  if (predictedDistanceM === null) return null;
  return predictedDistanceUncertaintyM === null || predictedDistanceUncertaintyM === 0
    ? withUnit(significant(predictedDistanceM, 3), 'm')
    : plusMinus(predictedDistanceM, predictedDistanceUncertaintyM, 'm');
}

/** Half of a normal distribution's 95 % interval, in standard deviations. */
const OF_95_PERCENT = 1.96;

/** Prediction beside measurement, or null without a prediction. */
export function predictionSentence(resolving: Resolving): string | null {
  const { predictedDistanceM, predictedDistanceUncertaintyM, lowM, highM, bound, distanceM } = resolving;
  const predicted = predictedText(resolving);
  if (predictedDistanceM === null || predicted === null) return null;
  const start = `Theory predicts ${predicted} for faultless tubes`;
  if (bound === 'beyond') {
    return predictedDistanceM < distanceM
      ? `${start}; the array does better.`
      : `${start}; the shots don’t reach far enough to tell.`;
  }
  if (bound === 'nearer') {
    return predictedDistanceM > distanceM
      ? `${start}; the array falls short of it.`
      : `${start}; the shots don’t come near enough to tell.`;
  }
  if (lowM === null || highM === null) return `${start}.`;
  const difference = predictedDistanceM - distanceM;
  const half = difference > 0 ? highM - distanceM : distanceM - lowM;
  if (Math.abs(difference) <= Math.hypot(half, OF_95_PERCENT * (predictedDistanceUncertaintyM ?? 0)))
    return `${start}, in agreement with the measured distance.`;
  return difference > 0
    ? `${start}; the measured distance is shorter, by more than the uncertainty of the two.`
    : `${start}; the measured distance is longer, by more than the uncertainty of the two.`;
}

/** What distances must be measured from, where the photos would not show that they weren't; null where they would. */
function fromSheetSentence({ findings }: Result): string | null {
  const tape = findings.find(({ code }) => code === 'distances-rest-on-tape');
  if (tape?.code !== 'distances-rest-on-tape' || !tape.values.fromSheet) return null;
  return (
    'That holds for distances measured from the tubes’ front ends. The photos would not show it if they were measured from the ' +
    `sheet, ${decimal(tape.values.tubeLengthMm, 0)}\u00a0mm too long.`
  );
}

/** How far two lamps stay separate, and what limits it; where that is doubtful, why goes first. */
export function resolvingAnswer(result: Result): Answer {
  const answer = statedAnswer(result);
  if (result.resolving?.doubtful !== true) return answer;
  return {
    headline:
      'How far two lamps stay separate is doubtful: what the session states does not fit what its photos show.',
    details: [...doubts(result), `As stated, the figures would say: ${answer.headline}`, ...answer.details],
  };
}

function statedAnswer(result: Result): Answer {
  const { resolving } = result;
  if (result.array.kind === 'cell-screen') {
    return {
      headline: 'A cell screen behind a lens: its light and crosstalk were measured.',
      details: sentencesAbout(result.findings, 'array'),
    };
  }
  if (resolving === null) {
    const hasPairs = !result.findings.some(({ code }) => code === 'no-pairs');
    return {
      headline: `How far two lamps stay separate ${hasPairs ? 'could not be measured' : 'takes pair shots; there are none'}.`,
      details: sentencesAbout(result.findings, 'resolving'),
    };
  }
  const lamps = `Two lamps ${lengthM(resolving.spacingM)} apart`;
  const limit = limitSentence(result);
  const prediction = predictionSentence(resolving);
  const tape = fromSheetSentence(result);
  const details = [
    angleSentence(resolving),
    ...(tape === null ? [] : [tape]),
    `Judged by ${criterionWords(resolving)} between the two peaks.`,
    ...(limit === null ? [] : [limit]),
    ...(prediction === null ? [] : [prediction]),
  ];
  const end = distanceValue(measuredDistance(resolving));
  if (resolving.bound === 'beyond') {
    return {
      headline: `${lamps} are still separate ${end} away, the farthest distance shot.`,
      details: ['The resolving distance lies beyond it: shots from farther away would find it.', ...details],
    };
  }
  if (resolving.bound === 'nearer') {
    return {
      headline: `${lamps} are not separate even ${end} away, the nearest distance shot.`,
      details: [
        'The resolving distance is nearer than that: shots from closer by would find it.',
        ...details,
      ],
    };
  }
  return { headline: distanceSentence(resolving, lamps), details };
}
