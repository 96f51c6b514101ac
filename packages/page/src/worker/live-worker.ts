import { expose } from 'comlink';
import type { LiveApi } from './live.js';

// See look-worker.ts.
const loading = import('./live.js');

const api: LiveApi = {
  even: async (...given) => (await loading).liveApi.even(...given),
  begin: async (...given) => (await loading).liveApi.begin(...given),
  now: async (...given) => (await loading).liveApi.now(...given),
};

expose(api);
