import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { Result } from '@twolamp/session';
import { type LampPlace, thirdsPlaces, trianglePlaces } from '@twolamp/plan';
import type { Plan, Truth } from '@twolamp/simulate';
import { makeAndMeasure } from '../accuracy/run-session.js';
import { aimedGroups } from './aimed-groups.js';
import { drawLampCase } from './draw-lamps.js';

const HELP = `Short evenings with the nine lamp places in different patterns: which bent and misaimed tubes are found, how many tubes'
directions are told, the walls' gloss and the resolving distance. The table goes to stdout, in Markdown.

node bench/dist/lamps/main.js [--from 16] [--arrays 16] [--patterns even,closer,far,groups,dim,truth]

even    in the middles of the thirds of the field
closer  the same grid, drawn together to 0.7: the plan's before small arrays
far     even, where the farthest pair stands
groups  three triangles, each so small that all its lamps light the tubes that look between them: the plan's before large arrays
dim     these, each moved to where most tubes look that are weak in the even light
truth   the same for the tubes that truly are bent or misaimed: what no measurement can choose
`;

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '16' },
    arrays: { type: 'string', default: '16' },
    patterns: { type: 'string', default: 'even,closer,far,groups,dim,truth' },
    help: { type: 'boolean', default: false },
  },
});

interface Score {
  readonly pattern: string;
  readonly glossy: boolean;
  readonly bent: number;
  readonly foundBent: number;
  /** Of the bent ones, with any fault. */
  readonly seenBent: number;
  readonly misaimed: number;
  readonly foundMisaimed: number;
  readonly falseAlarms: number;
  readonly tubes: number;
  readonly pointed: number;
  /** Measured less true; null where it is not measured. */
  readonly gloss: number | null;
  /** Measured over true, less 1; null where it is not measured. */
  readonly distance: number | null;
  readonly inside: boolean;
}

/** The plan's before small arrays. */
const CLOSER = 0.7;

async function measured(plan: Plan): Promise<{ truth: Truth; result: Result }> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-lamps-bench-'));
  try {
    return await makeAndMeasure(plan, folder);
  } finally {
    await rm(folder, { recursive: true });
  }
}

function score(pattern: string, glossy: boolean, truth: Truth, result: Result): Score {
  const aside = (n: number) => ['bent', 'misaimed'].includes(result.cells[n]!.fault);
  const numbers = (fault: string) => truth.cells.flatMap((cell, n) => (cell.fault === fault ? [n] : []));
  const distanceM = truth.resolving[0]?.distanceM ?? null;
  const { resolving } = result;
  const isWithin = resolving?.bound === 'within' && distanceM !== null;
  return {
    pattern,
    glossy,
    bent: numbers('bent').length,
    foundBent: numbers('bent').filter(aside).length,
    seenBent: numbers('bent').filter((n) => result.cells[n]!.fault !== 'none').length,
    misaimed: numbers('misaimed').length,
    foundMisaimed: numbers('misaimed').filter(aside).length,
    falseAlarms: numbers('none').filter((n) => result.cells[n]!.fault !== 'none').length,
    tubes: truth.cells.length,
    pointed: result.cells.filter(({ pointing }) => pointing !== null).length,
    gloss: result.wall === null ? null : result.wall.gloss - truth.wall.gloss,
    distance: isWithin ? resolving.distanceM / distanceM - 1 : null,
    inside: isWithin && (resolving.lowM ?? Infinity) <= distanceM && distanceM <= (resolving.highM ?? 0),
  };
}

async function judge(index: number, patterns: readonly string[]): Promise<Score[]> {
  const { array, gloss, middleMm, farthestMm, planWith } = drawLampCase(index);
  const withoutLamps = () => measured(planWith([], middleMm));
  const placesOf: Record<string, () => LampPlace[] | Promise<LampPlace[]>> = {
    even: () => thirdsPlaces(array, middleMm, 1),
    closer: () => thirdsPlaces(array, middleMm, CLOSER),
    far: () => thirdsPlaces(array, farthestMm, 1),
    groups: () => trianglePlaces(array, middleMm),
    dim: async () => {
      const { cells } = (await withoutLamps()).result;
      const weak = cells.flatMap(({ fault }, n) => (fault === 'weak' ? [n] : []));
      return aimedGroups(array, middleMm, weak);
    },
    truth: async () => {
      const { cells } = (await withoutLamps()).truth;
      const astray = cells.flatMap(({ fault }, n) => (fault === 'bent' || fault === 'misaimed' ? [n] : []));
      return aimedGroups(array, middleMm, astray);
    },
  };
  const scores: Score[] = [];
  for (const pattern of patterns) {
    const { truth, result } = await measured(
      planWith(await placesOf[pattern]!(), pattern === 'far' ? farthestMm : middleMm),
    );
    scores.push(score(pattern, gloss > 0.2, truth, result));
    console.error(index, `${array.rows} × ${array.columns}`, gloss.toFixed(2), JSON.stringify(scores.at(-1)));
  }
  return scores;
}

const rms = (list: readonly number[]) =>
  Math.sqrt(list.reduce((sum, one) => sum + one ** 2, 0) / list.length);
const known = (list: readonly (number | null)[]) => list.flatMap((one) => one ?? []);

function line(pattern: string, glossy: boolean, of: readonly Score[]): string {
  const sum = (count: (one: Score) => number) => of.reduce((total, one) => total + count(one), 0);
  const glosses = known(of.map((one) => one.gloss));
  const distances = known(of.map((one) => one.distance));
  const cells = [
    glossy ? 'glossy' : 'near matte',
    pattern,
    of.length,
    `${sum((one) => one.foundBent)} (${sum((one) => one.seenBent)}) of ${sum((one) => one.bent)}`,
    `${sum((one) => one.foundMisaimed)} of ${sum((one) => one.misaimed)}`,
    sum((one) => one.falseAlarms),
    `${Math.min(...of.map((one) => one.pointed))} to ${Math.max(...of.map((one) => one.pointed))}; ${((100 * sum((one) => one.pointed)) / sum((one) => one.tubes)).toFixed(0)} %`,
    glosses.length === 0 ? 'none' : `${rms(glosses).toFixed(2)} (${glosses.length})`,
    distances.length === 0 ? 'none' : `${(100 * rms(distances)).toFixed(1)} %`,
    `${of.filter(({ inside }) => inside).length} of ${of.length}`,
  ];
  return `| ${cells.join(' | ')} |`;
}

async function main(): Promise<void> {
  const patterns = values.patterns.split(',');
  const all: Score[] = [];
  for (let n = 0; n < Number(values.arrays); n++)
    all.push(...(await judge(Number(values.from) + n, patterns)));
  console.log(
    '| walls | places | arrays | bent found (with any fault) | misaimed found | false alarms | directions told | gloss off, RMS (sessions) | distance off, RMS | inside |',
  );
  console.log('|---|---|---|---|---|---|---|---|---|---|');
  for (const glossy of [false, true]) {
    for (const pattern of patterns) {
      const of = all.filter((one) => one.glossy === glossy && one.pattern === pattern);
      if (of.length > 0) console.log(line(pattern, glossy, of));
    }
  }
}

if (values.help) console.log(HELP);
else await main();
