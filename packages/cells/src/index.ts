export { type CameraMove, cameraMoves } from './camera-moves.js';
export type { CellLight, LitShot } from './cell-light.js';
export type { CellsOnPicture } from './flux/cells-on-picture.js';
export type { BackDepartures } from './lattice/back-places.js';
export { averageLights } from './light/repeats.js';
export { type Progress, type Survey, surveyShots } from './survey.js';
