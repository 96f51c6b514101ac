export type { ArraySpec, TubeWall } from './array.js';
export { arrayInput, cellPlace, FIELD_NAMES, namedPlaces, MOST_PACKED } from './array.js';
export { arrayMisfits } from './array-relations.js';
export * from './comparison-format.js';
export * from './evidence-format.js';
export type { FindingPlace } from './findings/define.js';
export * from './findings/index.js';
export { InputError } from './errors.js';
export { jsonSchemas } from './json-schemas.js';
export {
  type LinearPhoto,
  MOST_PIXELS,
  type PhotoExposure,
  type Plane,
  type ReducedPhoto,
  type ReduciblePhoto,
  type ShotPhoto,
} from './photo.js';
export { lampsOf } from './lamps-of.js';
export { isPossible, PLAUSIBLE, possibleInWords, type Quantity } from './plausible.js';
export { withoutComma } from './plain-words.js';
export { placedResult } from './placed-result.js';
export { printable, printableLines, shortened } from './printable.js';
export { type Unusual, unusualArray, unusualValues } from './unusual.js';
export * from './preview-format.js';
export * from './weighing-format.js';
export {
  arrayFromFields,
  criterionFromText,
  readArray,
  readComparison,
  readEvidence,
  readResult,
  readSession,
} from './read.js';
export { readYaml } from './read-yaml.js';
export { lineInSession, type MendedValues, mendSession } from './mend-session.js';
export { renamePhotos } from './rename-photos.js';
export * from './result-figures.js';
export * from './result-format.js';
export * from './session-format.js';
export * from './units.js';
export * from './write-session.js';
