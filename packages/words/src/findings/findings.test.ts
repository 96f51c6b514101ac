import { type AnyFinding, finding, type Reason, reason } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { findingSentence, reasonsText, sentencesAbout } from './index.js';

const cell = (row: number, column: number) => ({ cell: (row - 1) * 30 + column, row, column });

describe('findingSentence', () => {
  test.each<[AnyFinding, string]>([
    [
      finding('even-clipped', 'even.jpg', { clipped: 3, first: [cell(1, 2), cell(1, 4)] }),
      'even.jpg is clipped in 3 cells (row 1, column 2; row 1, column 4; 1 more): they pass at least as much light as is given here.',
    ],
    [
      finding('lamps-far-apart', 'pointing', { spacingDeg: 1.371, widthDeg: null }),
      'Neighbouring lamp places are 1.37° apart. Closer places would light more tubes with several lamps.',
    ],
    [
      finding('sweep-partial', 'pointing', {
        lamps: 9,
        uncertaintyDeg: 0.0123,
        fullSweep: 63,
        fullUncertaintyDeg: 0.0046,
      }),
      'With 9 lamp places a direction has a standard uncertainty of 0.012°. With 63 places over the same field it would be about 0.0046°.',
    ],
    [
      finding('doubt-pair-distance', 'pair-3.jpg', {
        statedM: 2,
        seenCells: 3.412,
        seenUncertaintyCells: 0.021,
        fittingM: null,
      }),
      'pair-3.jpg: the session states a distance of 2.00\u00a0m, but the lamps’ images are 3.41\u00a0±\u00a00.02 cells apart, which fits no distance. Measure it again; this shot was left out of the resolving distance.',
    ],
    [finding('note-v1', 'pointing', { text: 'no sweep' }), 'No sweep.'],
  ])('%j', (one, sentence) => {
    expect(findingSentence(one)).toBe(sentence);
  });

  test('sentences about one part only', () => {
    const list = [finding('no-bare', 'transmission.absolute', {}), finding('no-dark', 'photos', {})];
    expect(sentencesAbout(list, 'transmission.absolute')).toEqual(['There is no bare shot.']);
  });
});

describe('reasonsText', () => {
  test.each<[Reason, string]>([
    [
      reason('leaks-into', { to: cell(9, 9), toShare: 0.108, total: 0.121 }),
      '11\u00a0% of the light that enters it comes out at row 9, column 9, and 12\u00a0% outside it in all. That is far more than other tubes leak.',
    ],
    [
      reason('looks-aside', { acrossDeg: -0.4, upDeg: -0.3, totalDeg: 0.5, shiftMm: 1.31, bowMm: null }),
      'It looks 0.50° too far left and down compared with its neighbours; its width and light are normal. Its front end is 1.3\u00a0mm off its place.',
    ],
    [
      reason('responds-as-bowed', { share: 0.67, bowMm: 1.52, directionDeg: -90 }),
      'It passes 67\u00a0% of its neighbours’ light. Its response to the lamps is that of a tube bowed by about 1.5\u00a0mm, with its middle too far down; no straight tube fits it.',
    ],
  ])('%j', (one, sentence) => {
    expect(reasonsText([one])).toBe(sentence);
  });
});
