import { expose } from 'comlink';
import type { LookApi } from './look.js';

// The measurement waits for its WebAssembly while it is loaded; calls that come meanwhile must find a listener.
const loading = import('./look.js');

const api: LookApi = {
  look: async (...given) => (await loading).lookApi.look(...given),
  orderTaken: async (...given) => (await loading).lookApi.orderTaken(...given),
  firstLook: async (...given) => (await loading).lookApi.firstLook(...given),
  forget: async (...given) => (await loading).lookApi.forget(...given),
  survey: async (...given) => (await loading).lookApi.survey(...given),
  keep: async (...given) => (await loading).lookApi.keep(...given),
  picture: async (...given) => (await loading).lookApi.picture(...given),
};

expose(api);
