import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, expect } from 'vitest';
import { type Bases, makeBases, readBases } from '../../bench/fuzz/bases.js';
import { type Said, twolamp } from '../../bench/fuzz/twolamp.js';

/*
 * What was found when somebody tried to break the command, each by name: a slip of a person must be told as one, and
 * neither hang, nor end as a fault of ours, nor pass as a result. bench/fuzz looks for more.
 */

export type Subset = Parameters<Bases['session']>[0];
export type Edit = readonly [from: string | RegExp, to: string];

let home: string;

/** The files of a right session, and its result; made once for a test file. */
export let bases: Bases;
/** An empty folder, a new one for each test. */
export let folder: string;

/** Makes {@link bases} and {@link folder}; called once at the head of a test file. */
export function useTinySession(): void {
  beforeAll(async () => {
    home = await mkdtemp(join(tmpdir(), 'twolamp-hard-'));
    await makeBases(join(home, 'bases'), 1);
    bases = await readBases(join(home, 'bases'));
  }, 240_000);
  afterAll(() => rm(home, { recursive: true }));
  beforeEach(async () => {
    folder = await mkdtemp(join(home, 'case-'));
  });
  afterEach(() => rm(folder, { recursive: true }));
}

/** Puts the session's photos and its text, edited, into {@link folder}. */
export async function putSession(subset: Subset, edits: readonly Edit[] = []): Promise<void> {
  let text = bases.session(subset);
  for (const [, name] of text.matchAll(/photo: ([\w.-]+)/g)) {
    await writeFile(join(folder, name!), await bases.photo(name!));
  }
  for (const [from, to] of edits) {
    expect(text).toMatch(from);
    text = text.replace(from, to);
  }
  await writeFile(join(folder, 'session.yaml'), text);
}

export const measure = () => twolamp('measure', folder, '--out', join(folder, 'out'));

/** The command named a slip of the person, in these words, and left nothing behind. */
export async function expectRefused(said: Said | Promise<Said>, says: RegExp): Promise<void> {
  const { code, err } = await said;
  expect({ code, err }).toEqual({ code: 1, err: expect.stringMatching(says) });
  expect(await readdir(join(folder, 'out')).catch(() => [])).toEqual([]);
}
