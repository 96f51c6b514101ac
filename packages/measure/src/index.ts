export { type CameraMove, cameraMoves } from './check/camera-moves.js';
export { compareResults } from './compare/compare-results.js';
export { type MeasureOptions, type Measurement, measureSession } from './measure.js';
export type { GreyPicture, SpotPictures } from './preview/draw-spots.js';
export { type PreviewOptions, previewScene, type ScenePreview } from './preview/preview-scene.js';
export type { Scene } from './preview/scene.js';
export { type Survey, surveyShots } from './survey.js';
export type { ByState, PreviewState } from './preview/tube-values.js';
