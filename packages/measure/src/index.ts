export { type Measurement, type MeasureOptions, measureSession, measureSurvey } from './measure.js';
