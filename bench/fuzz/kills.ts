import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { makeBases, readBases } from './bases.js';
import { drawFrom } from './draw.js';
import { twolamp } from './twolamp.js';

/*
 * Kills a measurement at random moments and looks at what is left: all files of the earlier result, or all of the new one.
 */

const MAIN = fileURLToPath(new URL('../../../packages/cli/dist/main.js', import.meta.url));
const DRAFT = '.twolamp-writing';

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '100' },
    seed: { type: 'string', default: '1' },
    workers: { type: 'string', default: '2' },
  },
});

/** Runs a measurement; killed after so many seconds, where they are given. How long it ran, and whether it ended itself. */
function measured(
  session: string,
  out: string,
  kill: { afterS: number; signal: NodeJS.Signals } | null,
): Promise<{ seconds: number; ended: boolean }> {
  return new Promise((resolve) => {
    const start = performance.now();
    const child = spawn(process.execPath, [MAIN, 'measure', session, '--out', out], { stdio: 'ignore' });
    const timer = kill && setTimeout(() => child.kill(kill.signal), 1000 * kill.afterS);
    child.on('exit', (_, signal) => {
      if (timer) clearTimeout(timer);
      resolve({ seconds: (performance.now() - start) / 1000, ended: signal === null });
    });
  });
}

async function hashes(folder: string): Promise<Map<string, string>> {
  const names = (await readdir(folder)).filter((name) => name !== DRAFT).sort();
  const entries = names.map(async (name) => {
    const bytes = await readFile(join(folder, name));
    return [name, createHash('sha256').update(bytes).digest('hex')] as const;
  });
  return new Map(await Promise.all(entries));
}

const share = (before: Map<string, string>, after: Map<string, string>) =>
  [...before].filter(([name, hash]) => after.get(name) === hash).length / before.size;

interface Tally {
  old: number;
  new: number;
  mixed: number;
  finishedLater: number;
  left: number;
}

async function killOnce(
  session: string,
  earlier: string,
  seed: number,
  usualS: number,
  tally: Tally,
): Promise<void> {
  const draw = drawFrom(seed);
  const home = await mkdtemp(join(tmpdir(), 'twolamp-kill-'));
  try {
    const out = join(home, 'out');
    await cp(earlier, out, { recursive: true });
    const before = await hashes(out);
    // The end, where files are put in place, is hit more often.
    const afterS = draw.chance(0.5)
      ? (usualS * draw.whole(0, 1000)) / 1000
      : usualS * (0.8 + draw.whole(0, 300) / 1000);
    const signal = draw.pick<NodeJS.Signals>(['SIGKILL', 'SIGKILL', 'SIGKILL', 'SIGTERM', 'SIGINT']);
    await measured(session, out, { afterS, signal });
    const isDraftLeft = (await readdir(out)).includes(DRAFT);
    if (signal !== 'SIGKILL' && isDraftLeft) tally.left++;
    const atOnce = share(before, await hashes(out));
    // The next run that reads the folder finishes or clears away what is left.
    await twolamp(
      'compare',
      join(out, 'result.json'),
      join(out, 'result.json'),
      '--out',
      join(home, 'compared'),
    );
    const kept = share(before, await hashes(out));
    if (atOnce !== kept) tally.finishedLater++;
    if ((await readdir(out)).includes(DRAFT)) tally.left++;
    if (kept === 1) tally.old++;
    else if (kept === 0) tally.new++;
    else tally.mixed++;
  } finally {
    await rm(home, { recursive: true, force: true });
  }
}

const home = await mkdtemp(join(tmpdir(), 'twolamp-kills-'));
const tally: Tally = { old: 0, new: 0, mixed: 0, finishedLater: 0, left: 0 };
try {
  const folder = join(home, 'bases');
  await makeBases(folder, Number(values.seed));
  const bases = await readBases(folder);
  const even = join(home, 'even');
  await cp(folder, even, { recursive: true, filter: (from) => !from.endsWith('measured') });
  await writeFile(join(even, 'session.yaml'), bases.session('even'));
  // The earlier result differs in every file, so that each one tells whose it is.
  const earlier = join(home, 'earlier');
  const { seconds } = await measured(even, earlier, null);
  for (const name of await readdir(earlier)) {
    const bytes = await readFile(join(earlier, name));
    await writeFile(join(earlier, name), Buffer.concat([bytes, Buffer.from('\n')]));
  }
  let next = 0;
  const drain = async () => {
    while (next < Number(values.kills)) {
      await killOnce(even, earlier, Number(values.seed) * 1_000_000 + next++, seconds, tally);
    }
  };
  await Promise.all(Array.from({ length: Number(values.workers) }, drain));
} finally {
  await rm(home, { recursive: true, force: true });
}
console.log(
  `${values.kills} kills of seed ${values.seed}: ${tally.old} earlier result, ${tally.new} new result, ${tally.mixed} mixed; ` +
    `${tally.finishedLater} finished by the next run, ${tally.left} with something left behind`,
);
process.exitCode = tally.mixed + tally.left > 0 ? 1 : 0;
