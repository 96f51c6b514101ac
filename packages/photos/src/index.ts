export { encodePng, type GreyCodes } from './encode-png.js';
export type { ShotFacts } from './exif.js';
export { type Glance, glance } from './guess/glance.js';
export { type ExposedLook, guessFromLooks } from './guess/guess-from-look.js';
export { guessFromName, type NameGuess } from './guess/guess-from-name.js';
export { type PhotoFault, photoFaults } from './guess/photo-faults.js';
export type { Channel } from './linear-light.js';
export { orderTaken } from './order-taken.js';
export { type PhotoType, sniffPhotoType } from './photo-type.js';
export {
  type PhotoHead,
  type PhotoReading,
  readPhoto,
  readPhotoHead,
  readReduciblePhoto,
} from './read-photo.js';
export { readRegularFile } from './regular-file.js';
export { systemFault } from './system-fault.js';
export { type Thumbnail, thumbnail } from './thumbnail.js';
export type { ResponseTable, ToneCurve } from './tone-curve.js';
export type { ResponseFit } from './response/fit-response.js';
export { responseFromSeries, type SeriesPhoto } from './response/response-from-series.js';
