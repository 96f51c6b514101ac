export type { GreyPicture, SpotPictures } from './draw-spots.js';
export { type PreviewOptions, previewScene, type ScenePreview } from './preview-scene.js';
export { type Rebuild, rebuiltArray } from './weigh/rebuilt.js';
export { type WeighRequest, type Weighed, weighResult } from './weigh/weigh-result.js';
export type { Scene } from './scene.js';
export type { ByState, PreviewState } from './tube-values.js';
