export type { Consistency } from './consistency/check-consistency.js';
export {
  type Measurement,
  type MeasureOptions,
  checkSurvey,
  measureSession,
  measureSurvey,
} from './measure.js';
export { dipBySeparation, type PairBySeparation, tellsDistance } from './pairs/dip-by-separation.js';
