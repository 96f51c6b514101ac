import { expect, test } from 'vitest';
import type { Glance } from './glance.js';
import { photoFaults } from './photo-faults.js';

const GOOD: Glance = { peak: 0.3, bright: 0.6, litShare: 0.5, elongation: 1, texture: 0.6, clippedShare: 0 };
const DARK: Glance = { ...GOOD, peak: 0.002, bright: 0.01, texture: 0.4 };

test.each([
  ['even', GOOD],
  ['lamp', GOOD],
  ['bare', { ...GOOD, texture: 0.01 }],
  ['dark', DARK],
  ['dark', { ...DARK, bright: 0.2 }],
  ['pair', { ...GOOD, clippedShare: 1e-6 }],
] as const)('nothing is wrong with a good photo of kind %s', (kind, look) => {
  expect(photoFaults(kind, look, GOOD)).toEqual([]);
});

test.each([
  ['even', { clippedShare: 0.001 }, 'clipped', false, '0.1 % of its pixels are clipped'],
  ['even', { clippedShare: 0.2 }, 'clipped', true, '20 % of its pixels'],
  ['pair', { bright: 0.04 }, 'too dark', false, 'reach 4 % of full scale'],
  ['pair', { bright: 0.001 }, 'too dark', true, 'reach 0.1 % of full scale'],
  ['dark', { bright: 0.4 }, 'not dark', true, 'were the lamps off?'],
  ['even', { texture: 0.05 }, 'blurred', true, 'focus on the sheet'],
  ['lamp', { texture: 0.2 }, 'blurred', false, 'softer than the even shot'],
] as const)('%s with %j: %s', (kind, change, fault, spoils, says) => {
  const faults = photoFaults(kind, { ...GOOD, ...change }, GOOD);
  expect(faults).toEqual([{ fault, spoils, says: expect.stringContaining(says) }]);
});
