import { execFile, execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { measureFolder } from '../accuracy/run-session.js';
import { isDoubt } from '@twolamp/session';
import { countMissed, type Judged, type PeerTruth, scorePeer } from './score-peer.js';

const run = promisify(execFile);
/** Debian's Python stands where Debian's modules are, another one may come before it on the path. */
const PYTHONS = ['/usr/bin/python3', 'python3'];

/** A Python script of this folder, from here or from where this file was built to. */
export function peerScript(name: string): string {
  const beside = [name, `../../peers/${name}`].map((path) => fileURLToPath(new URL(path, import.meta.url)));
  return beside.find((path) => existsSync(path))!;
}

/** A Python that has all these modules, or null. */
export function pythonWith(modules: readonly string[]): string | null {
  const imports = modules.map((name) => `import ${name}`).join('; ');
  return PYTHONS.find((python) => succeeds(python, ['-c', imports])) ?? null;
}

function succeeds(command: string, args: readonly string[]): boolean {
  try {
    execFileSync(command, args, { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** What the renderer needs, see README.md in this folder; null where it lacks. */
export function rendererPython(): string | null {
  return succeeds('convert', ['-version']) ? pythonWith(['numpy', 'scipy']) : null;
}

/**
 * Has the second renderer make a session.
 *
 * @param settings - such as `array.rows=9`, in place of what preset and seed give
 * @throws what Python said, where it failed
 */
export async function renderPeer(
  python: string,
  folder: string,
  seed: number,
  preset: string,
  settings: readonly string[] = [],
): Promise<PeerTruth> {
  const overrides = settings.flatMap((setting) => ['--set', setting]);
  await run(python, [
    peerScript('render.py'),
    folder,
    '--seed',
    String(seed),
    '--preset',
    preset,
    ...overrides,
  ]);
  return JSON.parse(await readFile(join(folder, 'truth.json'), 'utf8'));
}

/** A session of the second renderer, judged. */
export interface JudgedPeer {
  readonly judged: Judged[];
  /** What is said of it besides: codes of doubts, tubes missed and invented where packed. */
  readonly says: string;
}

/** Makes, measures and judges a session of the second renderer. */
export async function judgePeer(
  python: string,
  folder: string,
  seed: number,
  preset: string,
  settings: readonly string[] = [],
): Promise<JudgedPeer> {
  const truth = await renderPeer(python, folder, seed, preset, settings);
  const { result } = await measureFolder(folder);
  const doubts = result.findings.filter(isDoubt).map(({ code }) => code);
  const { missed, invented } = countMissed(truth, result);
  const tubes =
    result.array.arrangement === 'packed'
      ? [`${missed} of ${truth.cells.length} tubes missed, ${invented} invented`]
      : [];
  return { judged: scorePeer(truth, result), says: [...tubes, ...doubts].join(', ') };
}
