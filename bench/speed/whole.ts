/**
 * Runs one command of the last build, and tells what it cost: wall time, processor time of all its threads, peak memory.
 *
 *     node bench/dist/speed/whole.js measure FOLDER --out ELSEWHERE
 *
 * The last line of stderr is a JSON object, {@link Cost}. `taskset -c 0` before it gives one core and so one thread.
 */

/** What a command cost. */
export interface Cost {
  readonly wallS: number;
  readonly processorS: number;
  readonly peakMb: number;
}

process.on('exit', () => {
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  const cost: Cost = {
    wallS: performance.now() / 1000,
    processorS: (userCPUTime + systemCPUTime) / 1e6,
    peakMb: maxRSS / 1024,
  };
  process.stderr.write(`${JSON.stringify(cost)}\n`);
});
const main = new URL('../../../packages/cli/dist/main.js', import.meta.url);
await import(main.href);
