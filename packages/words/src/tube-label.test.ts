import { expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { tubeLabel } from './tube-label.js';

const healthy = exampleResult().cells.find(({ fault }) => fault === 'none')!;
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

test('says what each map shows of the tube', () => {
  const cell = {
    ...healthy,
    row: 3,
    column: 17,
    fault: 'misaimed' as const,
    transmission: { ...healthy.transmission, relative: 0.949, relativeUncertainty: 0.004 },
    pointing: {
      ...healthy.pointing!,
      errorDeg: 0.48,
      errorUncertaintyDeg: 0.04,
      acceptanceWidthDeg: 1.83,
      acceptanceWidthUncertaintyDeg: 0.05,
    },
    crosstalk: { total: 0.024, totalUncertainty: 0.003, worst: null },
  };
  expect(plain(tubeLabel(cell))).toBe(
    'row 3, column 17 · misaimed · light 0.949 ± 0.004 · looks 0.48 ± 0.04° aside · sees 1.83 ± 0.05° wide · crosstalk 2.4 ± 0.3 %',
  );
});

test('leaves out what was not measured', () => {
  const dark = { relative: null, relativeUncertainty: null, absolute: null, absoluteUncertainty: null };
  const cell = { ...healthy, row: 1, column: 2, transmission: dark, pointing: null, crosstalk: null };
  expect(tubeLabel(cell)).toBe('row 1, column 2');
});
