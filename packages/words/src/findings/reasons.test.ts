import { type Reason, reason } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { reasonsText } from './index.js';

/* Why a tube counts as faulty. Written out from the values by hand. */

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const at = (row: number, column: number) => ({ cell: (row - 1) * 30 + column, row, column });
const ASIDE = { acrossDeg: 0.3, upDeg: 0.4, totalDeg: 0.5 };

describe('why a tube counts as faulty', () => {
  test.each<[Reason, string]>([
    [
      reason('hardly-any-light', { share: -0.012, lit: false }),
      'It passes less than 0.1 % of its neighbours’ light: practically nothing.',
    ],
    [
      reason('hardly-any-light', { share: 0.062, lit: true }),
      'It passes 6.2 % of its neighbours’ light, which leaks in from a neighbour: it passes practically nothing itself.',
    ],
    [
      reason('open', { share: 3.14 }),
      'It passes 3.1 times its neighbours’ light: the hole is empty, or the tube is too wide.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'not measured' }),
      'It passes 71 % of its neighbours’ light. Lamp shots from many places would show whether it is bent, misaimed or dirty.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'does not apply' }),
      'It passes 71 % of its neighbours’ light: dirt, a crushed end, or something in it.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'not known' }),
      'It passes 71 % of its neighbours’ light. Its direction is not known; lamps closer together would show whether it is bent.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'where it should' }),
      'It passes 71 % of its neighbours’ light and looks where it should: dirt, a crushed end, or a bow in a tube with matte walls.',
    ],
    [
      reason('may-leak-into', { share: 0.81, tube: at(2, 3), to: at(2, 4), toExcess: 0.17 }),
      'It passes 81 % of its neighbours’ light, and its neighbour at row 2, column 4 has 17 % too much. It may leak into that one; a single shot of row 2, column 3 would show it.',
    ],
    [
      reason('responds-as-bowed', { share: null, bowMm: 1.52, directionDeg: 180 }),
      'Its response to the lamps is that of a tube bowed by about 1.5 mm, with its middle too far left; no straight tube fits it.',
    ],
  ])('%j', (one, sentence) => {
    expect(plain(reasonsText([one]))).toBe(sentence);
  });

  // Widths and losses of 3 % and less lie within healthy tubes' own differences.
  test.each([
    [
      { share: 0.88, widthRatio: 1.12, ownShape: false },
      'sees 1.12 times as wide, passes 88 % of their light',
    ],
    [{ share: null, widthRatio: 1.12, ownShape: false }, 'sees 1.12 times as wide'],
    [{ share: 0.99, widthRatio: 1.01, ownShape: true }, 'has a skewed or flat-topped response'],
    [{ share: 0.99, widthRatio: 1.01, ownShape: false }, 'has a slightly different response'],
  ])('bent: %j', (seen, told) => {
    expect(plain(reasonsText([reason('aside-and-changed', { ...ASIDE, bowMm: 0.8, ...seen })]))).toBe(
      `It looks 0.50° too far right and up compared with its neighbours, ${told}: bowed by about 0.8 mm.`,
    );
  });

  test.each<[Reason, string]>([
    [
      reason('shape-changed', { share: 0.71, bowMm: null }),
      'It passes 71 % of its neighbours’ light and looks where it should, but its response has another shape: bowed, or something lies across its bore.',
    ],
    [
      reason('looks-aside', { acrossDeg: 0.5, upDeg: 0.1, totalDeg: 0.51, shiftMm: 1.31, bowMm: 0.9 }),
      'It looks 0.51° too far right compared with its neighbours; its width and light are normal. Its front end is 1.3 mm off its place. It may also be bowed by about 0.9 mm; lamps closer together would show which.',
    ],
    [
      reason('not-lit-by-sweep', { share: 0.97, gap: 'past the rim' }),
      'It passes 97 % of its neighbours’ light, but it looks past the rim of the sweep, while its neighbours are lit: it looks far aside, bent or misaimed. A wider sweep would show which.',
    ],
    [
      reason('not-lit-by-sweep', { share: 0.97, gap: 'dark' }),
      'It passes 97 % of its neighbours’ light, but no lamp of the sweep lights it, while its neighbours are lit: it looks far aside, bent or misaimed. A wider sweep would show which.',
    ],
  ])('%j', (one, sentence) => {
    expect(plain(reasonsText([one]))).toBe(sentence);
  });
});
