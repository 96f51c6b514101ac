export { type MissingShot, missingShots } from './missing-shots.js';
export { type ExpectedPair, type Plan, planBench } from './plan.js';
export { planText } from './plan-text.js';
export type { WallPrediction } from './predict-wall.js';
export type { PlanRequest } from './request.js';
