import type { PageSource } from '../page/source.js';

/** Where an example page says that it comes from. */
export const EXAMPLE_SOURCE: PageSource = { files: ['measured/result.json'], writtenOn: '2026-11-30' };
