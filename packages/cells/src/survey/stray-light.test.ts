import { seededRandom } from '@twolamp/optics';
import type { LinearPhoto, Session, Shot } from '@twolamp/session';
import { expect, test } from 'vitest';
import { drawCells, testArray } from '../../../places/src/fixtures/draw-cells.js';
import { openSurvey } from './kept-photos.js';
import { nextShot, surveyShot } from './open-survey.js';
import { surveyOf } from './survey-of.js';

const array = testArray(6, 8);
const shots = (['even', 'dark', 'bare'] as const).map(
  (kind) => ({ photo: `${kind}.png`, kind, stated: {} }) as Shot,
);
const session = { array, criterion: 0.265, tone: 'srgb', lampDiameterMm: null, shots } as unknown as Session;

/** What is found in a room of so much stray light, full scales, with so much light on the bare sheet. */
function findingsIn(stray: number, bare: number): string[] {
  const random = seededRandom(17);
  const { photo } = drawCells({ array, pitchPx: 13, light: () => 0.35, floor: stray });
  const exposed = (light: (k: number) => number): LinearPhoto => ({
    ...photo,
    light: photo.light.map((_, k) => light(k) + 0.001 * random.normal()),
    exposureS: 0.5,
    iso: 100,
  });
  const photos: Record<string, LinearPhoto> = {
    'even.png': exposed((k) => photo.light[k]!),
    'dark.png': exposed(() => stray),
    'bare.png': exposed(() => stray + bare),
  };
  const survey = openSurvey();
  for (let shot = nextShot(survey, session); shot; shot = nextShot(survey, session))
    surveyShot(survey, session, shot, photos[shot.photo]!);
  return surveyOf(survey, session)!.findings.flatMap(({ code, about }) =>
    ['doubt-photo-kind', 'stray-light-strong'].includes(code) ? [`${code} ${about}`] : [],
  );
}

test.each([
  ['a dark room', 0.01, 0.4, []],
  ['a room as bright as a third of the spots', 0.2, 0.4, []],
  ['a room nearly as bright as the spots', 0.45, 0.4, ['stray-light-strong dark.png']],
  ['a sheet without light of its own', 0.2, 0.008, ['doubt-photo-kind bare.png']],
  ['a sheet in dim light', 0.2, 0.08, []],
])('%s', (_, stray, bare, findings) => {
  expect(findingsIn(stray, bare)).toEqual(findings);
});
