import { tested } from './tested-package.mjs';

/** Mutation tests of one package by its own unit tests; those of whole sessions take too long to be run once a mutant. */
export default {
  mutate: [`packages/${tested}/src/**/*.ts`, '!**/*.test.ts', '!**/fixtures/**'],
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner'],
  vitest: { configFile: 'bench/mutants/unit-tests.config.mjs' },
  coverageAnalysis: 'perTest',
  // A copy's links between packages would lead back to the originals.
  inPlace: true,
  concurrency: 2,
  ignoreStatic: true,
  dryRunTimeoutMinutes: 30,
  reporters: ['clear-text'],
  clearTextReporter: { allowColor: false, logTests: false },
};
