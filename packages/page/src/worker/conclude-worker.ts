import { expose } from 'comlink';
import type { ConcludeApi } from './conclude.js';

// See look-worker.ts.
const loading = import('./conclude.js');

const api: ConcludeApi = {
  conclude: async (...given) => (await loading).concludeApi.conclude(...given),
  files: async (...given) => (await loading).concludeApi.files(...given),
};

expose(api);
