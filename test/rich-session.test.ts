import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';
import { heldFigures } from './held/held-figures.js';
import { evidenceTests } from './rich/evidence.js';
import { figureTests } from './rich/figures.js';
import { personTests } from './rich/person.js';
import { pullGainTests } from './rich/pull-gain.js';
import { measureRich, type Rich } from './rich/session.js';
import { slipTests } from './rich/slip.js';

/** Photos are made and measured, on whatever machine. */
const TIMEOUT_MS = 240_000;

let folder: string;
let rich: Rich;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-rich-'));
  rich = await measureRich(folder);
}, TIMEOUT_MS);
afterAll(() => rm(folder, { recursive: true }));

figureTests(() => rich);
evidenceTests(() => rich);
personTests(() => rich);
pullGainTests(() => rich);
slipTests(() => rich);
heldFigures('rich', () => rich.result);
heldFigures('rich-slipped', () => rich.slipped.result, 'faulty');
