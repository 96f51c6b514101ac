export { type Measurement, type MeasureOptions, measureSession, measureSurvey } from './measure.js';
export { dipBySeparation, type PairBySeparation, tellsDistance } from './pairs/dip-by-separation.js';
