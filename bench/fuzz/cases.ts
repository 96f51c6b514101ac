import { execFileSync } from 'node:child_process';
import { mkdir, rm, symlink, truncate, utimes, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import type { Bases, Subset } from './bases.js';
import { type Draw, drawFrom } from './draw.js';
import { mutatedJson } from './mutate-json.js';
import { damagedBytes, ENCODINGS, encoded, FOREIGN, foreignPicture, reshaped } from './mutate-photo.js';
import { mutatedYaml } from './mutate-text.js';
import { oddQuantity, oddText } from './odd-values.js';

/** Kinds of cases. */
const FAMILIES = ['session', 'damaged photo', 'other photo', 'result', 'options', 'plan', 'files'] as const;
export type Family = (typeof FAMILIES)[number];

/** How many of a hundred cases are of a family. */
const SHARES: Record<Family, number> = {
  session: 30,
  'damaged photo': 20,
  'other photo': 8,
  result: 22,
  options: 8,
  plan: 4,
  files: 8,
};

/** One case: its files are made in a folder, then a command is run on them. */
export interface FuzzCase {
  readonly family: Family;
  /** For the table of failures. */
  readonly what: string;
  /**
   * Makes the files.
   * @param folder - empty; all that the case may read or write, but for `out`
   * @param out - where results go
   * @returns the command line
   */
  readonly prepare: (folder: string, out: string) => Promise<string[]>;
}

const SIZE = { width: 128, height: 104 };

function photosOf(session: string): string[] {
  return [...session.matchAll(/photo: ([\w.-]+)/g)].map((match) => match[1]!);
}

async function putSession(bases: Bases, folder: string, subset: Subset): Promise<string[]> {
  const session = bases.session(subset);
  const photos = photosOf(session);
  for (const name of photos) await writeFile(join(folder, name), await bases.photo(name));
  await writeFile(join(folder, 'session.yaml'), session);
  return photos;
}

const measureIn = (folder: string, out: string) => ['measure', folder, '--out', out];

function drawSubset(draw: Draw): Subset {
  return draw.chance(0.75) ? 'even' : draw.chance(0.8) ? 'pairs' : 'whole';
}

function sessionCase(bases: Bases, draw: Draw): FuzzCase {
  const subset = drawSubset(draw);
  const text = mutatedYaml(bases.session(subset), draw);
  const verb = draw.chance(0.15) ? 'check' : 'measure';
  return {
    family: 'session',
    what: `${verb} ${subset}`,
    prepare: async (folder, out) => {
      await putSession(bases, folder, subset);
      await writeFile(join(folder, 'session.yaml'), text);
      return verb === 'check' ? ['check', folder] : measureIn(folder, out);
    },
  };
}

function photoCase(bases: Bases, draw: Draw, family: 'damaged photo' | 'other photo'): FuzzCase {
  const subset = draw.chance(0.8) ? 'even' : 'pairs';
  const name = draw.pick(photosOf(bases.session(subset)));
  const encoding = draw.pick(ENCODINGS);
  const foreign = draw.pick([...FOREIGN, 'another shot', 'reshaped']);
  const other = draw.pick(photosOf(bases.session('whole')));
  const make = async (): Promise<Buffer> => {
    const photo = await bases.photo(name);
    if (family === 'damaged photo') return damagedBytes(await encoded(photo, encoding), draw);
    if (foreign === 'another shot') return bases.photo(other);
    if (foreign === 'reshaped') return reshaped(photo, draw);
    return encoded(await foreignPicture(foreign, SIZE, draw), draw.pick(['png', 'jpeg', 'webp']));
  };
  return {
    family,
    what: `${name} ${family === 'damaged photo' ? encoding : foreign}`,
    prepare: async (folder, out) => {
      await putSession(bases, folder, subset);
      await writeFile(join(folder, name), await make());
      return measureIn(folder, out);
    },
  };
}

function resultCase(bases: Bases, draw: Draw): FuzzCase {
  const inEvidence = draw.chance(0.25);
  const result = inEvidence ? bases.result : mutatedJson(bases.result, draw);
  const evidence = inEvidence ? mutatedJson(bases.evidence, draw) : bases.evidence;
  const verb = inEvidence
    ? draw.pick(['report', 'compare'])
    : draw.pick(['report', 'report', 'compare', 'preview']);
  return {
    family: 'result',
    what: `${verb} ${inEvidence ? 'evidence' : 'result'}`,
    prepare: async (folder, out) => {
      const file = join(folder, 'result.json');
      await writeFile(file, result);
      await writeFile(join(folder, 'evidence.json'), evidence);
      await writeFile(join(folder, 'scene.png'), bases.scene);
      if (verb === 'compare') {
        const right = join(folder, 'right');
        await mkdir(right);
        await writeFile(join(right, 'result.json'), bases.result);
        return ['compare', join(right, 'result.json'), file, '--out', out];
      }
      const scene = ['--scene', join(folder, 'scene.png'), '--width', '0.3m', '--distance', '1m'];
      return [verb, file, ...(verb === 'preview' ? scene : []), '--out', out];
    },
  };
}

const PLAN_OPTIONS: Record<string, string> = {
  lamps: '60 mm',
  room: '4 m',
  rows: '6',
  columns: '8',
  'tube-length': '120 mm',
  'tube-bore': '2.5 mm',
  'back-pitch': '3 mm',
  'front-pitch': '3.9 mm',
  lens: 'f/8',
  exposure: '180 s',
  criterion: 'rayleigh',
  name: 'Tiny',
};
const PREVIEW_OPTIONS: Record<string, string> = {
  width: '0.3 m',
  distance: '1 m',
  lens: 'f/8',
  exposure: '180 s',
};

function optionsCase(bases: Bases, draw: Draw): FuzzCase {
  const verb = draw.pick(['plan', 'preview']);
  const options = { ...(verb === 'plan' ? PLAN_OPTIONS : PREVIEW_OPTIONS) };
  for (let n = draw.whole(1, 3); n > 0; n--) {
    const key = draw.pick(Object.keys(options));
    if (draw.chance(0.1)) delete options[key];
    else options[key] = draw.chance(0.2) ? oddText(draw) : oddQuantity(draw, options[key] ?? '');
  }
  const words = Object.entries(options).map(([key, value]) => `--${key}=${value}`);
  return {
    family: 'options',
    what: `${verb} ${words.join(' ').slice(0, 200)}`,
    prepare: async (folder, out) => {
      if (verb === 'plan') return ['plan', ...words, '--out', out];
      await writeFile(join(folder, 'result.json'), bases.result);
      await writeFile(join(folder, 'scene.png'), bases.scene);
      return [
        'preview',
        join(folder, 'result.json'),
        '--scene',
        join(folder, 'scene.png'),
        ...words,
        '--out',
        out,
      ];
    },
  };
}

function planCase(bases: Bases, draw: Draw): FuzzCase {
  const few = bases.plan.replace(/^.*(lamp|pair|single|bare), .*\n/gm, '');
  const text = mutatedYaml(few, draw);
  return {
    family: 'plan',
    what: 'simulate',
    prepare: async (folder, out) => {
      await writeFile(join(folder, 'plan.yaml'), text);
      return ['simulate', join(folder, 'plan.yaml'), '--out', out];
    },
  };
}

type FileFault = (path: string, outside: string) => Promise<unknown>;

const FILE_FAULTS: Record<string, FileFault> = {
  'a pipe': async (path) => execFileSync('mkfifo', [path]),
  'a folder': (path) => mkdir(path),
  'an empty file': (path) => writeFile(path, ''),
  'a sparse file': async (path) => {
    await writeFile(path, 'x');
    await truncate(path, 1.9e9);
  },
  'a link to itself': (path) => symlink(path, path),
  'a link outside': (path, outside) => symlink(join(outside, 'mine.png'), path),
  'a device': (path) => symlink('/dev/zero', path),
  nothing: async () => {},
  zeros: (path) => writeFile(path, Buffer.alloc(100_000)),
  text: (path) => writeFile(path, 'hello\n'.repeat(1000)),
};

const OUT_FAULTS: Record<string, (out: string) => Promise<unknown>> = {
  'out is a file': (out) => writeFile(out, 'mine'),
  'report.html is a folder': (out) => mkdir(join(out, 'report.html'), { recursive: true }),
  'result.json is a folder': (out) => mkdir(join(out, 'result.json'), { recursive: true }),
  'a draft of a dead run': async (out) => {
    await mkdir(join(out, '.twolamp-writing', 'files'), { recursive: true });
    await writeFile(
      join(out, '.twolamp-writing', 'owner.json'),
      JSON.stringify({ pid: 4_194_303, host: hostname(), began: '1' }),
    );
  },
  'an old draft of nobody': async (out) => {
    await mkdir(join(out, '.twolamp-writing'), { recursive: true });
    await writeFile(join(out, '.twolamp-writing', 'owner.json'), '{{{');
    await utimes(join(out, '.twolamp-writing'), 0, 0);
  },
  'out under a file': async (out) => writeFile(join(out, '..', 'out-home'), ''),
};

function filesCase(bases: Bases, draw: Draw): FuzzCase {
  const where = draw.pick(['photo', 'session', 'result', 'evidence', 'scene', 'out'] as const);
  const fault = draw.pick(Object.keys(where === 'out' ? OUT_FAULTS : FILE_FAULTS));
  return {
    family: 'files',
    what: `${where}: ${fault}`,
    prepare: async (folder, out) => {
      const photos = await putSession(bases, folder, 'even');
      const outside = join(folder, '..', 'outside');
      const put = async (name: string) => {
        await rm(join(folder, name), { force: true });
        await FILE_FAULTS[fault]!(join(folder, name), outside);
      };
      await writeFile(join(folder, 'result.json'), bases.result);
      await writeFile(join(folder, 'evidence.json'), bases.evidence);
      await writeFile(join(folder, 'scene.png'), bases.scene);
      switch (where) {
        case 'photo':
          await put(draw.pick(photos));
          return measureIn(folder, out);
        case 'session':
          await put('session.yaml');
          return measureIn(draw.chance(0.5) ? folder : join(folder, 'session.yaml'), out);
        case 'result':
        case 'evidence':
          await put(`${where}.json`);
          return ['report', join(folder, 'result.json'), '--out', out];
        case 'scene':
          await put('scene.png');
          return [
            ...['preview', join(folder, 'result.json'), '--scene', join(folder, 'scene.png')],
            ...['--width', '0.3m', '--distance', '1m', '--out', out],
          ];
        default:
          await OUT_FAULTS[fault]!(out);
          return draw.chance(0.5)
            ? measureIn(folder, out)
            : [
                'report',
                join(folder, 'result.json'),
                '--out',
                fault === 'out under a file' ? join(folder, 'scene.png', 'out') : out,
              ];
      }
    },
  };
}

/** The case of a number: the same files and the same command for the same seed. */
export function drawCase(bases: Bases, seed: number, families: readonly Family[] = FAMILIES): FuzzCase {
  const draw = drawFrom(seed);
  const weighted = families.flatMap((family) => Array<Family>(SHARES[family]).fill(family));
  const family = draw.pick(weighted);
  switch (family) {
    case 'session':
      return sessionCase(bases, draw);
    case 'damaged photo':
    case 'other photo':
      return photoCase(bases, draw, family);
    case 'result':
      return resultCase(bases, draw);
    case 'options':
      return optionsCase(bases, draw);
    case 'plan':
      return planCase(bases, draw);
    case 'files':
      return filesCase(bases, draw);
  }
}
