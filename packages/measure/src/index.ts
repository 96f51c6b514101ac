export { checkSurvey } from './begin-conclusions.js';
export { CONCLUSION_STEPS, type ConclusionSteps, type StepsElsewhere } from './conclusion-steps.js';
export type { Consistency } from './consistency/check-consistency.js';
export {
  type Measurement,
  type MeasureOptions,
  measureSession,
  measureSurvey,
  measureSurveyBeside,
} from './measure.js';
export { dipBySeparation, type PairBySeparation, tellsDistance } from './pairs/dip-by-separation.js';
