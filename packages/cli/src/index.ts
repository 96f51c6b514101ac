export { EXIT, run } from './run.js';
export type { Terminal } from './terminal.js';
