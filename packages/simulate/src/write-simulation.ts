import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Pictures } from './array/bench.js';
import { usefulThreads } from './photo-threads.js';
import type { Plan } from './plan/plan-format.js';
import { listPhotos } from './shots/photo-names.js';
import { simulateSession, type Simulation } from './simulate-session.js';

/**
 * Simulates a session into a folder: its photos, session.yaml and truth.json. What else is there stays.
 *
 * @param folder - made where it isn't there
 * @param onProgress - told after each photo
 * @param pictures - of the plan's scenes
 */
export async function writeSimulation(
  plan: Plan,
  folder: string,
  onProgress: (photo: string, done: number, total: number) => void,
  pictures: Pictures = new Map(),
): Promise<Simulation> {
  await mkdir(folder, { recursive: true });
  const simulation = await simulateSession(
    plan,
    async (name, file, done, total) => {
      await writeFile(join(folder, name), file);
      onProgress(name, done, total);
    },
    usefulThreads(listPhotos(plan).length),
    pictures,
  );
  await writeFile(join(folder, 'session.yaml'), simulation.session);
  await writeFile(join(folder, 'truth.json'), `${truthText(simulation)}\n`);
  return simulation;
}

const DIGITS = 8;

function shortNumbers(_key: string, value: unknown): unknown {
  return typeof value === 'number' ? Number(value.toPrecision(DIGITS)) : value;
}

/** One cell, pair or photo a line, so that two truths can be compared by eye. */
function truthText({ truth }: Simulation): string {
  const { cells, pairs, photos, ...rest } = truth;
  const lines = (items: readonly unknown[]) =>
    `[\n    ${items.map((item) => JSON.stringify(item, shortNumbers)).join(',\n    ')}\n  ]`;
  const head = JSON.stringify(rest, shortNumbers, 2).replace(/\n}$/, '');
  return `${head},\n  "cells": ${lines(cells)},\n  "pairs": ${lines(pairs)},\n  "photos": ${lines(photos)}\n}`;
}
