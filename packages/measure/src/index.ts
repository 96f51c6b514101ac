export { type MeasureOptions, type Measurement, measureSession } from './measure.js';
