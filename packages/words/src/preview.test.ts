import { finding, type Preview } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { examplePreview } from './example/example-preview.js';
import { detailAnswer, exposureAnswer } from './preview.js';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const preview = examplePreview();
const exposure = preview.exposure!;
const known = exposure.known!;

describe('detailAnswer', () => {
  test('says both figures, and one where they are the same to two digits', () => {
    expect(detailAnswer(preview).headline).toContain(
      'a similarity of 0.79 to a perfect array’s; with the pull list replaced, 0.96.',
    );
    const same = { ...preview, similarity: { asMeasured: 0.913, repaired: 0.914, places: 9 } };
    expect(detailAnswer(same).headline).toBe(
      'The array’s picture has a similarity of 0.91 to a perfect array’s.',
    );
  });

  test('says why there is none', () => {
    const none: Preview = {
      ...preview,
      similarity: null,
      findings: [finding('scene-too-small-to-compare', 'similarity', {})],
    };
    expect(detailAnswer(none).details).toEqual([
      'Too few tubes look at the scene: it is too small, or too far away.',
    ]);
  });
});

describe('exposureAnswer', () => {
  test.each([
    ['measured', exposure, 'Where a lens at f/8 took 3 min, this array takes 37.8 ± 0.5 min, and more'],
    [
      'predicted',
      {
        ...exposure,
        basis: 'predicted' as const,
        known: { ...known, exposureS: 2268, exposureUncertaintyS: null },
      },
      'this array takes about 38 min',
    ],
    [
      'without a known lens',
      { ...exposure, known: null },
      'A tube lights its spot like a lens at f/28.4 ± 0.2.',
    ],
    ['without any figure', null, 'can’t be said'],
  ])('%s', (_, changed, says) => {
    expect(plain(exposureAnswer({ ...preview, exposure: changed }).headline)).toContain(says);
  });

  test('tells the stops, and the warning of the findings', () => {
    const details = exposureAnswer(preview).details.map(plain).join(' ');
    expect(details).toContain('3.7 stops slower than the lens');
    expect(details).toContain('reciprocity failure');
    const faster = { ...preview, exposure: { ...exposure, known: { ...known, stops: -0.5 } } };
    expect(exposureAnswer(faster).details.map(plain).join(' ')).toContain('0.50 stops faster');
  });
});
