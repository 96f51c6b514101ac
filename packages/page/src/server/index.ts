export { type Bench, serveBench } from './serve-bench.js';
