import tests from '../../test/vitest.config.js';
import { tested } from './tested-package.mjs';

/** The unit tests of one package. */
export default { ...tests, test: { ...tests.test, include: [`packages/${tested}/src/**/*.test.ts`] } };
