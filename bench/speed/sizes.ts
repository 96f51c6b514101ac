import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs, promisify } from 'node:util';
import { simulateSession } from '@twolamp/simulate';
import { benchPlan } from '../bench-plan.js';
import type { Cost } from './whole.js';

const HELP = `Cost of the whole command \`measure\`, start and report included, by cells and megapixels.

node bench/dist/speed/sizes.js --sizes 24x30@1,24x30@12,50x70@12 [--lamps 4]

Each size is rows × columns at megapixels; its session is one even shot, a dark one and some lamp shots. Photos are drawn
first, which takes longer than measuring them.
`;

/** Width over height of a photo, as most sensors have it. */
const SHAPE = 4 / 3;
const WHOLE = fileURLToPath(new URL('whole.js', import.meta.url));

interface Size {
  readonly rows: number;
  readonly columns: number;
  readonly megapixels: number;
}

function sizeOf(text: string): Size {
  const [, rows, columns, megapixels] = /^(\d+)x(\d+)@([\d.]+)$/.exec(text) ?? [];
  if (megapixels === undefined) throw new Error(`${text}: expected a size such as 24x30@12`);
  return { rows: Number(rows), columns: Number(columns), megapixels: Number(megapixels) };
}

async function costOf({ rows, columns, megapixels }: Size, lamps: number): Promise<Cost> {
  const folder = mkdtempSync(join(tmpdir(), 'twolamp-sizes-'));
  try {
    const width = Math.round(Math.sqrt(megapixels * 1e6 * SHAPE));
    const places = Array.from({ length: lamps }, (_, n) => Math.round((n + 0.5 - lamps / 2) * 120));
    const shots = places.map((across) => `{ kind: lamp, across: ${across} mm, up: 40 mm, distance: 3 m }`);
    const plan = benchPlan(
      { rows, columns, width, height: Math.round(width / SHAPE) },
      ['{ kind: even }', '{ kind: dark }', ...shots].join(', '),
    );
    const { session } = await simulateSession(plan, (photo, file) => writeFile(join(folder, photo), file));
    await writeFile(join(folder, 'session.yaml'), session);
    const { stderr } = await promisify(execFile)(process.execPath, [WHOLE, 'measure', folder]);
    return JSON.parse(stderr.trim().split('\n').at(-1) ?? '');
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const { values } = parseArgs({
  options: {
    sizes: { type: 'string', default: '10x10@1,24x30@1,24x30@12,50x70@12' },
    lamps: { type: 'string', default: '4' },
    help: { type: 'boolean', default: false },
  },
});
if (values.help) {
  process.stdout.write(HELP);
} else {
  process.stdout.write(
    '| tubes | megapixels | wall time | processor time | peak memory |\n|---|---|---|---|---|\n',
  );
  for (const size of values.sizes.split(',').map(sizeOf)) {
    const { wallS, processorS, peakMb } = await costOf(size, Number(values.lamps));
    process.stdout.write(
      `| ${size.rows} × ${size.columns} | ${size.megapixels} | ${wallS.toFixed(1)} s | ` +
        `${processorS.toFixed(1)} s | ${peakMb.toFixed(0)} MB |\n`,
    );
  }
}
