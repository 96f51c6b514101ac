export { CAUTIONS } from './cautions.js';
export { overallAnswer, resolvingChangeAnswer, scaleAnswer, tubesChangeAnswer } from './comparison.js';
export { cureSentence, remedySentence } from './cure.js';
export { distanceText, distanceValue, measuredDistance } from './distance.js';
export { durationPlusMinus } from './duration.js';
export { countByFault, FAULT_MARK, FAULT_MEANING, REAL_FAULTS, type RealFault } from './faults.js';
export { findingSentence, reasonsText } from './findings/index.js';
export { placeWords } from './findings/words-of.js';
export { finishingAnswer } from './finishing.js';
export { comparisonHeadlines, headlines, previewHeadlines } from './headlines.js';
export { lightAnswer, meanAbsolute, relativeSpread } from './light.js';
export { doubts, doubtsOf, doubtsOfBoth, missingFigures, otherFindings } from './missing.js';
export { acrossText, placeFromMiddle, upText } from './place.js';
export { detailAnswer, exposureAnswer } from './preview.js';
export {
  counted,
  decimal,
  decimalsFor,
  exposure,
  lengthM,
  listed,
  partPercent,
  percentPlusMinus,
  plusMinus,
  ratioDecimals,
  ratioPlusMinus,
  significant,
  trimmed,
  withUnit,
} from './quantity.js';
export {
  dipGainText,
  fartherText,
  repairAnswer,
  repairDip,
  repairLight,
  repairName,
  repairsOf,
} from './repairs.js';
export { predictedText, resolvingAnswer } from './resolving.js';
export type { Answer } from './sentence.js';
export { tubeLabel } from './tube-label.js';
export { tubesOnly } from './tubes-only.js';
export { FIRST_TO_PULL, tubesAnswer } from './tubes.js';
export { hoursText, worthSentence } from './weighing.js';
