import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { compareResults } from '@twolamp/compare';
import { seededRandom } from '@twolamp/optics';
import { InputError, type Result } from '@twolamp/session';
import { type Plan, PLAN_FORMAT, planSchema, type Truth } from '@twolamp/simulate';
import { Draw } from '../accuracy/draw-plan.js';
import { makeAndMeasure } from '../accuracy/run-session.js';

const HELP = `Packed bundles with blocked tubes and breaks: tubes found and invented, their light and pointing, and the same bundle
photographed anew and turned, matched tube by tube. The table goes to stdout, in Markdown.

node bench/dist/packed/main.js [--from 0] [--bundles 4] [--tubes 2000] [--pitch-px 18] [--lamps]
`;

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '0' },
    bundles: { type: 'string', default: '4' },
    tubes: { type: 'string', default: '2000' },
    'pitch-px': { type: 'string', default: '18' },
    lamps: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

const BLOCKED = 0.03;
const BREAKS = 10;
const PITCH_MM = 3;
const FRAMING = 0.85;
const TURN_DEG = 7;
/**
 * A tube is found where a cell lies within this of its middle, pitches. A dark one may lie anywhere in the room that the others
 * leave; within three quarters of a pitch no other tube can be meant.
 */
const HIT = { lit: 0.3, dark: 0.75 };
const LAMPS_MM = 600;
const SWEEP = 7;

/** A bundle, and how it is photographed. */
function drawBundle(index: number, tubes: number, pitchPx: number, lamps: boolean, turned: boolean): Plan {
  const seed = 60_000 + index;
  const draw = new Draw(seededRandom(seed));
  const outline = index % 2 === 0 ? 'ring' : 'box';
  const aspect = outline === 'box' ? 4 / 3 : 1;
  // Area that a tube takes in good order: √3/2 of its diameter squared; a ring's box is 4/π larger.
  const areaPx = ((tubes * pitchPx ** 2 * Math.sqrt(3)) / 2) * (outline === 'ring' ? 4 / Math.PI : 1);
  const height = Math.sqrt(areaPx / aspect) / FRAMING;
  const spreadMm = 0.4 * Math.sqrt(tubes) * PITCH_MM;
  const angle = () => `${draw.between(-3, 3)} deg`;
  const room = Math.round(1.12 * height);
  return planSchema.parse({
    format: PLAN_FORMAT,
    seed,
    'session-seed': seed + (turned ? 1 : 0),
    array: {
      name: `Bench bundle ${index}`,
      arrangement: 'packed',
      tubes,
      'tube-length': '90 mm',
      'tube-bore': '2.5 mm',
      'back-pitch': `${PITCH_MM} mm`,
    },
    packing: {
      outline,
      aspect,
      turn: `${draw.between(0, 25)} deg`,
      breaks: BREAKS,
      slips: 3,
      gaps: 3,
      'diameter-scatter': 0.01,
    },
    photo: { width: Math.round(aspect * room), height: room, format: 'jpeg', quality: 92 },
    camera: {
      framing: FRAMING / 1.12,
      tilt: angle(),
      turn: angle(),
      roll: turned ? `${TURN_DEG} deg` : '0 deg',
      vignetting: 0.15,
      'longest-exposure': '4 s',
    },
    sheet: { core: '0.15 mm', 'halo-share': 0.04 },
    light: { unevenness: 0.15, 'room-lux': 0.005 },
    lamp: { diameter: '4 mm', candela: 60 },
    build: {
      wall: { index: 1.5, extinction: 0, gloss: 0.2 },
      'pointing-jitter': '0.15 deg',
      'transmission-scatter': 0.03,
      crosstalk: 0.006,
    },
    faults: { blocked: Math.round(BLOCKED * tubes) },
    shots: [
      { kind: 'dark' },
      { kind: 'even', repeats: 2 },
      ...(lamps
        ? Array.from({ length: SWEEP * SWEEP }, (_, n) => ({
            kind: 'lamp',
            across: `${spreadMm * ((2 * (n % SWEEP)) / (SWEEP - 1) - 1)} mm`,
            up: `${spreadMm * (1 - (2 * Math.floor(n / SWEEP)) / (SWEEP - 1))} mm`,
            distance: `${LAMPS_MM} mm`,
          }))
        : []),
    ],
  });
}

interface Made {
  readonly truth: Truth;
  readonly result: Result;
}

/** Index of the cell at each true tube, or null. */
function cellsAt({ truth, result }: Made, pitchPx: number): (number | null)[] {
  return truth.cells.map(({ xPx, yPx, fault }) => {
    let [best, distance] = [0, Number.POSITIVE_INFINITY];
    result.cells.forEach((cell, k) => {
      const off = Math.hypot(cell.xPx - xPx, cell.yPx - yPx);
      if (off < distance) [best, distance] = [k, off];
    });
    return distance < HIT[fault === 'blocked' ? 'dark' : 'lit'] * pitchPx ? best : null;
  });
}

const middle = (list: readonly number[], share: number) =>
  [...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(share * list.length))] ?? Number.NaN;
const rms = (list: readonly number[]) =>
  Math.sqrt(list.reduce((sum, one) => sum + one * one, 0) / list.length);
const percent = (share: number) => `${(100 * share).toFixed(2)} %`;

/** Figures of one bundle, as a line of the table. */
async function line(index: number, folder: string): Promise<string> {
  const [tubes, pitchPx] = [Number(values.tubes), Number(values['pitch-px'])];
  const make = (turned: boolean) =>
    makeAndMeasure(drawBundle(index, tubes, pitchPx, values.lamps, turned), join(folder, String(turned)));
  const now = await make(false);
  const at = cellsAt(now, pitchPx);
  const found = at.filter((one) => one !== null).length;
  const invented = now.result.cells.length - new Set(at.filter((one) => one !== null)).size;
  const healthy = now.truth.cells.flatMap((true_, n) => {
    const cell = at[n] == null ? undefined : now.result.cells[at[n]];
    return true_.fault === 'none' && cell ? [{ true_, cell }] : [];
  });
  const light = healthy.map(({ true_, cell }) =>
    Math.abs((cell.transmission.relative ?? Number.NaN) - true_.relativeTransmission),
  );
  const pointing = healthy.flatMap(({ true_, cell: { pointing } }) =>
    pointing ? [pointing.acrossDeg - true_.pointing.acrossDeg, pointing.upDeg - true_.pointing.upDeg] : [],
  );
  const blocked = now.truth.cells.flatMap((true_, n) => (true_.fault === 'blocked' ? [at[n]] : []));
  const called = blocked.filter((k) => k != null && now.result.cells[k]?.fault === 'blocked').length;
  const falsely = healthy.filter(({ cell }) => cell.fault !== 'none').length;
  const later = await make(true);
  const laterAt = cellsAt(later, pitchPx);
  const comparison = compareResults(now.result, later.result);
  const laterOf = new Map(comparison.tubes.map((tube) => [tube.cellEarlier ?? tube.cell, tube.cell]));
  const matched = now.truth.cells.filter((_, n) => {
    const [a, b] = [at[n], laterAt[n]];
    return a != null && b != null && laterOf.get(now.result.cells[a]!.cell) === later.result.cells[b]!.cell;
  }).length;
  const cells = [
    index % 2 === 0 ? 'ring' : 'box',
    tubes,
    percent(found / tubes),
    `${invented} (${percent(invented / tubes)})`,
    `${called} of ${blocked.length}`,
    falsely,
    `${percent(middle(light, 0.5))}, ${percent(middle(light, 0.95))}`,
    pointing.length === 0 ? '–' : `${rms(pointing).toFixed(3)}° of ${pointing.length / 2}`,
    percent(matched / tubes),
  ];
  return `| ${cells.join(' | ')} |`;
}

async function main(): Promise<void> {
  console.log(
    '| outline | tubes | found | invented | blocked ones named | healthy ones called faulty | relative transmission off, median and 95 % | pointing, RMS | matched when turned by 7° |',
  );
  console.log('|---|---|---|---|---|---|---|---|---|');
  for (let n = 0; n < Number(values.bundles); n++) {
    const folder = await mkdtemp(join(tmpdir(), 'twolamp-packed-bench-'));
    try {
      console.log(await line(Number(values.from) + n, folder));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      console.log(`| ${Number(values.from) + n}: ${error.message} |`);
    } finally {
      await rm(folder, { recursive: true });
    }
  }
}

if (values.help) console.log(HELP);
else await main();
