import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { mergeConfig, type Plugin } from 'vite';
import tests from '../../test/vitest.config.js';
import { type DrawnFault, readFaults } from './faults.js';

/** Which fault is put in: its list, and its number there. */
const LIST = process.env.TWOLAMP_FAULTS ?? 'faults.json';
const FAULT = 'TWOLAMP_FAULT';

function withFault({ file, find, replace }: DrawnFault): Plugin {
  const path = fileURLToPath(new URL(`../../${file}`, import.meta.url));
  return {
    name: 'known-fault',
    enforce: 'pre',
    load(id) {
      if (id.split('?')[0] !== path) return null;
      const source = readFileSync(path, 'utf8');
      if (source.split(find).length !== 2) {
        throw new Error(
          `${file}: ${LIST} wants ${find} in it once, found ${source.split(find).length - 1} times`,
        );
      }
      return source.replace(find, () => replace);
    },
  };
}

const fault = readFaults(LIST)[Number(process.env[FAULT])];
if (fault === undefined)
  throw new RangeError(`${FAULT} must be the number of a fault, got ${process.env[FAULT]}`);

/** The tests as ever, on sources with one fault put in. No file is changed. */
export default mergeConfig(tests, { plugins: [withFault(fault)] });
