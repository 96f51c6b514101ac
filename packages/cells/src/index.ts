export { type CameraMove, cameraMoves } from './camera-moves.js';
export { type FirstLook, firstLook } from './survey/first-look.js';
export {
  type FurtherPhoto,
  type FurtherShot,
  type KnownSheet,
  measureFurther,
} from './survey/further-shot.js';
export { type OpenSurvey, openSurvey } from './survey/kept-photos.js';
export { forgetPhoto, nextShot, pendingShots, surveyShot } from './survey/open-survey.js';
export { surveyOf } from './survey/survey-of.js';
export {
  forgetPhotos,
  type KeptSurvey,
  keptSurvey,
  type MeasureElsewhere,
  openedPositions,
  type Progress,
  surveyShots,
} from './survey/survey-shots.js';
export type { Survey } from './survey/survey.js';
