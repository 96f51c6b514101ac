export type { Pictures } from './array/bench.js';
export { PLAN_FORMAT, type Plan, planSchema } from './plan/plan-format.js';
export { readPlan } from './plan/read-plan.js';
export { simulateSession, type Simulation } from './simulate-session.js';
export * from './truth/truth-format.js';
export { writeSimulation } from './write-simulation.js';
