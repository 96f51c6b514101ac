import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { measureSurvey } from '@twolamp/measure';
import { measureFolder } from '../accuracy/run-session.js';
import { lightSessions } from '../peers/light-sessions.js';
import { rendererPython, renderPeer } from '../peers/render-peer.js';
import type { PeerTruth } from '../peers/score-peer.js';
import type { Measured } from './score-pair.js';

/** Least and most gloss of the arrays that are rebuilt, and lamps' spacing that suits all of them, mm. */
const GLOSS = [0.1, 0.95] as const;
const SPACING = 'shots.pair-spacing=90';
const GOLDEN = (Math.sqrt(5) - 1) / 2;

function python(): string {
  const found = rendererPython();
  if (found === null) throw new Error('needs Python with numpy and scipy, and ImageMagick');
  return found;
}

function measured(truth: PeerTruth, result: Measured['result']): Measured {
  return { cells: truth.cells, distanceM: truth.resolving?.distanceScatteredM ?? null, result };
}

/**
 * Two sessions of an array of the second renderer as light of its cells: four lamps and pairs at six distances, anew in the later
 * one. Every second array is rebuilt with other walls between them.
 */
export async function peerDistances(index: number): Promise<readonly [Measured, Measured]> {
  const [least, most] = GLOSS;
  const gloss = (n: number) => least + (most - least) * ((n * GOLDEN) % 1);
  const session = async (number: number, wall: number): Promise<Measured> => {
    const settings = [`session=${number}`, SPACING, `acceptance.tail-share=${wall.toFixed(3)}`];
    const [one] = await lightSessions(python(), index, 1, settings);
    return measured(one.truth, measureSurvey(one.session, one.survey).result);
  };
  return [await session(0, gloss(index)), await session(1, gloss(index % 2 ? index + 1 : index))];
}

/** Two sessions of an unchanged array of the second renderer, dark and two even shots each; the sheet is laid anew. */
export async function peerLights(index: number): Promise<readonly [Measured, Measured]> {
  const settings = [
    'shots.sweep-columns=0',
    'shots.pair-distances=0',
    'shots.singles=0',
    'shots.even-repeats=2',
  ];
  const session = async (number: number): Promise<Measured> => {
    const folder = await mkdtemp(join(tmpdir(), 'twolamp-compare-peer-'));
    try {
      const given = [...settings, `session=${number}`];
      const truth = await renderPeer(python(), folder, index, 'judged', given);
      return measured(truth, (await measureFolder(folder)).result);
    } finally {
      await rm(folder, { recursive: true });
    }
  };
  return [await session(0), await session(1)];
}
