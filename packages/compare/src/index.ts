export { compareResults } from './compare-results.js';
