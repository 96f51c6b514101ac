export { type MeasureOptions, type Measurement, measureSession, measureSurvey } from './measure.js';
