export { checkConsistency, type Consistency } from './check-consistency.js';
export { type DoubtedParts, flagged, withLeftOut } from './flag-doubtful.js';
