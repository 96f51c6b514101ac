import { readFile } from 'node:fs/promises';
import { readPlan, writeSimulation } from './dist/index.js';

const [plan, folder] = process.argv.slice(2);
const started = performance.now();
await writeSimulation(readPlan(await readFile(plan, 'utf8'), plan), folder, (photo, done, total) => {
  process.stderr.write(`\r${done} of ${total}: ${photo}   `);
});
process.stderr.write(`\n${((performance.now() - started) / 1000).toFixed(1)} s\n`);
