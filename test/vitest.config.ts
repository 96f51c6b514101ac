import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { defaultServerConditions } from 'vite';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

// The condition points every workspace import at its source, so that tests never run an old build.
export default defineConfig({
  root,
  resolve: { conditions: ['twolamp-source', ...defaultServerConditions] },
  ssr: { resolve: { conditions: ['twolamp-source', ...defaultServerConditions] } },
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    testTimeout: 240_000,
    hookTimeout: 240_000, // hooks make sessions, which takes its time on a busy machine
    pool: 'forks',
    // Vitest leaves one core to itself, half of a small machine.
    maxWorkers: availableParallelism(),
  },
});
