export { type Glance, glance } from '../guess/glance.js';
export { guessFromName } from '../guess/guess-from-name.js';
export { type PhotoFault, photoFaults } from '../guess/photo-faults.js';
export { orderTaken } from '../order-taken.js';
export type { PhotoSource } from './photo-bytes.js';
export { readTakenAt } from './taken-at.js';
export { lightOfCodes, type PhotoCodes, readCodes } from './read-photo.js';
export { type SmallPicture, smallPicture } from './thumbnail.js';
