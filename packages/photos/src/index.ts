export type { ShotFacts } from './exif.js';
export { type Channel, LUMINANCE_WEIGHTS } from './linear-light.js';
export type { PhotoType } from './photo-type.js';
export { type PhotoHead, type PhotoReading, readPhoto, readPhotoHead } from './read-photo.js';
export { type Thumbnail, thumbnail } from './thumbnail.js';
export { type ResponseTable, srgbToLinear, type ToneCurve } from './tone-curve.js';
export type { ResponseFit } from './response/fit-response.js';
export { responseFromSeries, type SeriesPhoto } from './response/response-from-series.js';
