export { checkSurvey } from './begin-conclusions.js';
export { CONCLUSION_STEPS, type ConclusionSteps, type StepsElsewhere } from './conclusion-steps.js';
export { dipBySeparation, type PairBySeparation, tellsDistance } from './dip-by-separation.js';
export {
  type Measurement,
  type MeasureOptions,
  measureSession,
  measureSurvey,
  measureSurveyBeside,
} from './measure.js';
