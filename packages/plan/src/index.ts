export { type Design, designTable, predictDesign } from './designs.js';
export { type LampPlace, thirdsPlaces, trianglePlaces } from './lamp-places.js';
export { type MissingShot, missingShots } from './missing-shots.js';
export { type ExpectedPair, type Plan, type PlannedList, planBench } from './plan.js';
export { exposureText, planRemarks, planText, SESSION_FILES, shotText, TELLS } from './plan-text.js';
export type { WallPrediction } from './predict-wall.js';
export type { PlanRequest } from './request.js';
export { type NextDistance, nextPairDistance, type PairReading } from './next-distance.js';
