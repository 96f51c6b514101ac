import { seededRandom } from '@twolamp/optics';
import type { EvenShot, Session } from '@twolamp/session';
import { expect, test } from 'vitest';
import { drawCells, testArray } from '../../../places/src/fixtures/draw-cells.js';
import { firstLook } from './first-look.js';
import { openSurvey } from './kept-photos.js';
import { surveyShot } from './open-survey.js';

const array = testArray(6, 8);
const even: EvenShot = { photo: 'even.png', kind: 'even', stated: {} };
const session = { array, shots: [even] } as unknown as Session;
const weak = { row: 2, column: 3 };

test('the first look finds all tubes where they were drawn, and a weak one weak', () => {
  const light = (row: number, column: number) => (row === weak.row && column === weak.column ? 0.2 : 0.4);
  const noise = { electrons: 6000, read: 0.001, random: seededRandom(3) };
  const drawn = drawCells({ array, pitchPx: 13, light, floor: 0.02, noise });
  const survey = openSurvey();
  expect(firstLook(survey)).toBeNull();
  surveyShot(survey, session, even, { ...drawn.photo, exposureS: 0.5, iso: 100 });
  const look = firstLook(survey)!;
  expect(look.x).toHaveLength(48);
  expect(look.pitchPx).toBeCloseTo(13, 0);
  const dim = [...look.light.keys()].filter((k) => look.light[k]! < 0.8);
  expect(dim).toHaveLength(1);
  expect(look.light[dim[0]!]).toBeCloseTo(0.5, 1);
});
