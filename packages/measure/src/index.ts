export { type CameraMove, cameraMoves } from './check/camera-moves.js';
export { compareResults } from './compare/compare-results.js';
export { type MeasureOptions, type Measurement, measureSession } from './measure.js';
