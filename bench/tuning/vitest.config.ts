import { readFileSync } from 'node:fs';
import { mergeConfig, type Plugin } from 'vite';
import tests from '../../test/vitest.config.js';
import { withChange } from './change.js';

/** Which number is changed: its file, its name, and the factor. */
const { TUNED_FILE, TUNED_NAME = '', TUNED_BY } = process.env;

const changed: Plugin = {
  name: 'tuned-number',
  enforce: 'pre',
  load: (id) =>
    id.split('?')[0] === TUNED_FILE
      ? withChange(readFileSync(TUNED_FILE, 'utf8'), { name: TUNED_NAME, by: Number(TUNED_BY) })
      : null,
};

/** The tests as ever, with one tuned number changed. No file is changed. */
export default mergeConfig(tests, { plugins: [changed] });
