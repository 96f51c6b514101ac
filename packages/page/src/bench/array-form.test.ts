import { readFileSync } from 'node:fs';
import { readSession } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { EMPTY_FORM, formOf, formTroubles, setupOf } from './array-form.js';

describe('the form of an array', () => {
  test.each(['demo', 'half-built', 'packed'])(
    'the array of datasets/%s goes in and comes out unchanged',
    (name) => {
      const file = new URL(`../../../../datasets/${name}/session.yaml`, import.meta.url);
      const session = readSession(readFileSync(file, 'utf8'), name);
      const form = formOf(session);
      expect(formTroubles(form)).toEqual({});
      expect(setupOf(form)).toEqual({
        array: session.array,
        criterion: session.criterion,
        lampDiameterMm: session.lampDiameterMm,
      });
    },
  );

  test('only what the arrangement has is asked for', () => {
    const asked = (arrangement: 'square' | 'packed') =>
      Object.keys(formTroubles({ ...EMPTY_FORM, arrangement }));
    expect(asked('square')).toEqual([
      'name',
      'rows',
      'columns',
      'tubeLength',
      'tubeBore',
      'backPitch',
      'frontPitch',
    ]);
    expect(asked('packed')).toEqual(['name', 'tubes', 'tubeLength', 'tubeBore', 'backPitch']);
  });
});
