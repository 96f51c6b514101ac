import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { nextShot, openSurvey, surveyOf, surveyShot } from '@twolamp/cells';
import { measureSurvey } from '@twolamp/measure';
import { readReduciblePhoto } from '@twolamp/photos';
import { readSession, type Session, type Shot } from '@twolamp/session';
import { simulateSession } from '@twolamp/simulate';
import sharp from 'sharp';
import { benchPlan } from '../bench-plan.js';

const HELP = `Processor time of each step against decoding the same photo, in one run.

node bench/dist/speed/main.js [--rows 50 --columns 70 --width 4032 --height 3024] [--session FOLDER] [--peers]

--session  a session that the simulator wrote, in place of one drawn for the purpose

--peers  also times sep, photutils and OpenCV's blob detector on the same even shot, where they are installed
`;

/** All is run so often, and the least of each step is taken, since other programs only add. */
const REPEATS = 5;

const SHOTS = [
  '{ kind: even, repeats: 3 }',
  '{ kind: dark }',
  '{ kind: bare }',
  ...[-240, 0, 240].map((across) => `{ kind: lamp, across: ${across} mm, up: 40 mm, distance: 3 m }`),
  ...[1.2, 2, 3].map((distance) => `{ kind: pair, spacing: 60 mm, distance: ${distance} m }`),
  '{ kind: single, row: 10, column: 12 }',
].join(', ');

function processorMs(since?: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1000;
}

/** Processor time of a step by name, ms: the least, and that of the first time, when its code was not yet compiled. */
class Times {
  readonly least = new Map<string, number>();
  readonly first = new Map<string, number>();

  async take<T>(name: string, step: () => T | Promise<T>): Promise<T> {
    const before = process.cpuUsage();
    const done = await step();
    const spent = processorMs(before);
    if (!this.first.has(name)) this.first.set(name, spent);
    this.least.set(name, Math.min(spent, this.least.get(name) ?? Number.POSITIVE_INFINITY));
    return done;
  }
}

/** All steps of a session, begun anew each time; the compiler has seen all code from the second on. */
async function timeSession(folder: string, session: Session, times: Times): Promise<void> {
  sharp.concurrency(1);
  const reading = { tone: 'srgb', channel: 'luminance' } as const;
  const read = (shot: Shot) => readReduciblePhoto(join(folder, shot.photo), reading);
  const photos = new Map<Shot, Awaited<ReturnType<typeof read>>>();
  for (const shot of session.shots) {
    const bytes = await readFile(join(folder, shot.photo));
    if (shot.kind === 'even') await times.take('decoding alone', () => sharp(bytes).raw().toBuffer());
    photos.set(shot, await times.take('reading a photo, its codes', () => read(shot)));
  }
  for (let run = 0; run < REPEATS; run++) {
    const survey = openSurvey();
    for (let shot = nextShot(survey, session); shot; shot = nextShot(survey, session)) {
      const { photo, kind } = shot;
      const isFirst = survey.even === null;
      const taken = photos.get(shot);
      if (!taken) throw new Error(`no photo ${photo}`);
      await times.take(isFirst ? 'finding the cells' : `a further shot: ${kind}`, () =>
        surveyShot(survey, session, shot, taken),
      );
      if (kind === 'dark') await times.take('learning the sheet', () => surveyOf(survey, session));
    }
    const done = surveyOf(survey, session);
    if (done) await times.take('conclusions', () => measureSurvey(session, done));
  }
}

/** Makes the photos of a session by calculation, with session.yaml beside them. */
async function draw(folder: string): Promise<void> {
  const size = {
    rows: Number(values.rows),
    columns: Number(values.columns),
    width: Number(values.width),
    height: Number(values.height),
  };
  const { session } = await simulateSession(benchPlan(size, SHOTS), (photo, file) =>
    writeFile(join(folder, photo), file),
  );
  await writeFile(join(folder, 'session.yaml'), session);
}

const { values } = parseArgs({
  options: {
    rows: { type: 'string', default: '50' },
    columns: { type: 'string', default: '70' },
    width: { type: 'string', default: '4032' },
    height: { type: 'string', default: '3024' },
    session: { type: 'string' },
    peers: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});
if (values.help) {
  process.stdout.write(HELP);
} else {
  const drawn = values.session === undefined ? mkdtempSync(join(tmpdir(), 'twolamp-speed-')) : null;
  const folder = values.session ?? drawn ?? '';
  try {
    if (drawn !== null) await draw(drawn);
    const session = readSession(await readFile(join(folder, 'session.yaml'), 'utf8'), 'session.yaml');
    const times = new Times();
    await timeSession(folder, session, times);
    const decoding = times.least.get('decoding alone') ?? Number.NaN;
    const figures = (ms = Number.NaN) => `${ms.toFixed(0)} ms | ${(ms / decoding).toFixed(1)} |`;
    const rows = [...times.least].map(
      ([name, ms]) => `| ${name} | ${figures(ms)} ${figures(times.first.get(name))}`,
    );
    const { rows: down, columns } = session.array;
    const peak = process.resourceUsage().maxRSS / 1024;
    process.stdout.write(
      `${down} × ${columns} tubes\n\n` +
        '| step | processor time, compiled | × decoding | the first time | × decoding |\n|---|---|---|---|---|\n' +
        `${rows.join('\n')}\n\n` +
        `Peak memory ${peak.toFixed(0)} MB, all photos of the session held at once.\n`,
    );
    const even = session.shots.find(({ kind }) => kind === 'even');
    if (values.peers && even) {
      const script = fileURLToPath(new URL('../../speed/peers.py', import.meta.url));
      const args = [script, join(folder, even.photo), String(columns)];
      process.stdout.write(execFileSync('/usr/bin/python3', args, { encoding: 'utf8' }));
    }
  } finally {
    if (drawn !== null) rmSync(drawn, { recursive: true });
  }
}
