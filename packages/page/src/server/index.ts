export { doorAddress } from './interfaces.js';
export { type Bench, type BenchOptions, serveBench } from './serve-bench.js';
