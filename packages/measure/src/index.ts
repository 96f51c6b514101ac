export type { Consistency } from './consistency/check-consistency.js';
export {
  type Measurement,
  type MeasureOptions,
  measureSession,
  measureSurvey,
  checkSurvey,
} from './measure.js';
