import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { Survey } from '@twolamp/cells';
import { readSession, type Session } from '@twolamp/session';
import { peerScript } from './render-peer.js';
import type { PeerTruth } from './score-peer.js';

/** A session as light of its cells, made by lights.py; see there. */
export interface LightSession {
  readonly session: Session;
  readonly survey: Survey;
  readonly truth: PeerTruth;
}

interface Written {
  readonly session: string;
  readonly shots: readonly { readonly photo: string; readonly light: number[]; readonly sigma: number[] }[];
  readonly truth: PeerTruth;
}

const run = promisify(execFile);
/** The cells lie on a picture that nobody took: so many pixels apart. */
const PITCH_PX = 20;

/**
 * Has the second renderer compute cells' light in many sessions.
 *
 * @param settings - such as `light.noise=0.01`, in place of what preset and seed give
 */
export async function lightSessions(
  python: string,
  firstSeed: number,
  count: number,
  settings: readonly string[] = [],
): Promise<LightSession[]> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-lights-'));
  try {
    const file = join(folder, 'lights.json');
    const overrides = settings.flatMap((setting) => ['--set', setting]);
    const args = ['--seed', String(firstSeed), '--sessions', String(count), ...overrides];
    await run(python, [peerScript('lights.py'), file, ...args]);
    const written: Written[] = JSON.parse(await readFile(file, 'utf8'));
    return written.map(surveyOf);
  } finally {
    await rm(folder, { recursive: true });
  }
}

function surveyOf({ session: text, shots, truth }: Written): LightSession {
  const session = readSession(text, 'session.yaml');
  const { rows, columns, arrangement, shiftedRows } = session.array;
  const count = rows * columns;
  const isShifted = (row: number) =>
    arrangement === 'hexagonal' && (row % 2 === 1) === (shiftedRows === 'odd');
  const rowStep = arrangement === 'hexagonal' ? Math.sqrt(3) / 2 : 1;
  const row = (k: number) => Math.floor(k / columns) + 1;
  const u = Float64Array.from({ length: count }, (_, k) => (k % columns) + (isShifted(row(k)) ? 0.5 : 0));
  const v = Float64Array.from({ length: count }, (_, k) => row(k) - 1);
  const [x, y] = [
    u.map((value) => PITCH_PX * (value + 2)),
    v.map((value) => PITCH_PX * (rowStep * value + 2)),
  ];
  const survey: Survey = {
    u,
    v,
    places: null,
    cells: {
      x,
      y,
      toPitch: Float64Array.from({ length: 4 * count }, (_, n) =>
        n % 4 === 0 || n % 4 === 3 ? 1 / PITCH_PX : 0,
      ),
      area: new Float64Array(count).fill(PITCH_PX ** 2),
      shade: new Float64Array(2 * count),
      pitchPx: PITCH_PX,
      unit: 1,
    },
    middles: { x, y },
    backDepartures: null,
    factor: 1,
    wingShare: 0,
    sheetScatter: 0,
    unfilled: [],
    litUnstated: [],
    lit: session.shots.map((shot) => {
      const { light, sigma } = shots.find(({ photo }) => photo === shot.photo)!;
      return {
        shot,
        light: {
          flux: Float64Array.from(light),
          sigma: Float64Array.from(sigma),
          clipped: new Uint8Array(count),
        },
      };
    }),
    bare: [],
    comparable: true,
    unexposed: new Set(),
    photos: session.shots.map(({ photo, kind }) => ({
      photo,
      kind,
      widthPx: PITCH_PX * (columns + 4),
      heightPx: PITCH_PX * (rows + 4),
      exposureS: 1,
      iso: 100,
      clippedShare: 0,
      driftPx: null,
    })),
    findings: [],
  };
  return { session, survey, truth };
}
