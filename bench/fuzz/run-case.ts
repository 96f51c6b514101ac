import { lstat, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readResult } from '@twolamp/session';
import type { FuzzCase } from './cases.js';
import { type Said, twolamp } from './twolamp.js';

/** What became of a case. */
export interface Outcome {
  readonly family: string;
  readonly what: string;
  readonly code: number;
  readonly cpuS: number;
  readonly wallS: number;
  /** What must not be, in words; empty where all is well. */
  readonly wrong: readonly string[];
}

/** Longest line of complaint that is still read. */
const LONGEST_LINE = 1600;
const CODES = [0, 1, 2, 3];
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const CONTROLS = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202e\ufeff]/;

/** Every file below a folder with its size and time of change. */
async function stateOf(folder: string): Promise<Map<string, string>> {
  const state = new Map<string, string>();
  for (const name of await readdir(folder, { recursive: true }).catch(() => [])) {
    const status = await lstat(join(folder, name));
    state.set(name, status.isDirectory() ? 'folder' : `${status.size} ${status.mtimeMs}`);
  }
  return state;
}

function differences(before: Map<string, string>, after: Map<string, string>): string[] {
  const names = new Set([...before.keys(), ...after.keys()]);
  return [...names].filter((name) => before.get(name) !== after.get(name));
}

function wrongWords({ code, err }: Said): string[] {
  const wrong: string[] = [];
  if (!CODES.includes(code)) wrong.push(`exit ${code}: ${err.slice(-1500)}`);
  if (code === 1 && err.trim() === '') wrong.push('refused without a word');
  if (CONTROLS.test(err)) wrong.push('control characters on the screen');
  if (code !== 70 && err.split('\n').some((line) => line.length > LONGEST_LINE))
    wrong.push('a line without end');
  return wrong;
}

async function wrongOutput(said: Said, out: string, before: Map<string, string>): Promise<string[]> {
  const after = await stateOf(out);
  if ([...after.keys()].some((name) => name.includes('.twolamp-'))) return ['a draft is left behind'];
  const isDone = said.code === 0 || said.code === 3;
  if (!isDone) {
    const isOurs = (name: string) => !name.includes('.twolamp-');
    const changed = differences(before, after).filter(isOurs);
    return changed.length === 0 ? [] : [`refused, but written: ${changed.slice(0, 3).join(', ')}`];
  }
  if (!after.has('result.json') || before.get('result.json') !== undefined) return [];
  try {
    const text = await readFile(join(out, 'result.json'), 'utf8');
    readResult(text, 'result.json');
    return [];
  } catch (error) {
    return [`its own result is refused: ${(error as Error).message}`];
  }
}

/** Runs a case in a folder of its own, and looks at what it said and what it left. */
export async function runCase(one: FuzzCase): Promise<Outcome> {
  const home = await mkdtemp(join(tmpdir(), 'twolamp-fuzz-'));
  try {
    const folder = join(home, 'case');
    const outside = join(home, 'outside');
    const out = join(home, 'out');
    await mkdir(folder);
    await mkdir(outside);
    await writeFile(join(outside, 'mine.png'), 'mine');
    const args = await one.prepare(folder, out);
    const inputs = [await stateOf(folder), await stateOf(outside)] as const;
    const before = await stateOf(out);
    const cpu = process.cpuUsage();
    const start = performance.now();
    const said = await twolamp(...args);
    const wallS = (performance.now() - start) / 1000;
    const { user, system } = process.cpuUsage(cpu);
    const changed = [
      ...differences(inputs[0], await stateOf(folder)),
      ...differences(inputs[1], await stateOf(outside)),
    ];
    return {
      family: one.family,
      what: one.what,
      code: said.code,
      cpuS: (user + system) / 1e6,
      wallS,
      wrong: [
        ...wrongWords(said),
        ...(changed.length === 0 ? [] : [`changed outside its folder: ${changed.slice(0, 3).join(', ')}`]),
        ...(await wrongOutput(said, out, before)),
      ],
    };
  } finally {
    await rm(home, { recursive: true, force: true });
  }
}
