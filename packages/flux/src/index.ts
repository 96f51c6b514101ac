export { type BareLevels, bareLevels } from './bare-levels.js';
export { type CellLight, lightOfCells, type LitShot } from './cell-light.js';
export {
  cellsOnPicture,
  type CellsOnPicture,
  type FirstPlaces,
  firstPlaces,
  someCells,
} from './cells-on-picture.js';
export { coarseShift } from './coarse-shift.js';
export { lightOf, type Lit, measureShot } from './measure-shot.js';
export { nearCells } from './region.js';
export { averageLights, disagreement } from './repeats.js';
export { dropLentRoom, type Room, withLentRoom } from './room.js';
export { type LearnedSheet, learnSheet, type SheetModel } from './sheet-model.js';
export { sheetScatter } from './sheet-uniformity.js';
export { wingShare } from './wings.js';
