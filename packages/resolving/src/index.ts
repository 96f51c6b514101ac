export { type LampSize, lampSizeOf } from './lamp-size.js';
export { measurePair } from './pairs/measure-pair.js';
export {
  type MeasuredResolving,
  measurePairs,
  type PairsInput,
  type PairsMeasured,
} from './pairs/measure-pairs.js';
export { dipOfProfile } from './pairs/profile-dip.js';
export { ANY_DIP } from './pairs/resolving.js';
export { KERNEL_HALF_WIDTHS } from './pairs/tuning.js';
export { learnArrayResponse } from './response/array-response.js';
export { viewLamps } from './response/lamp-view.js';
