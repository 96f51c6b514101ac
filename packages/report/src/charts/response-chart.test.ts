import { expect, test } from 'vitest';
import { exampleEvidence, exampleResult } from '../../../words/src/example/example-result.js';
import { responseChart } from './response-chart.js';

const { array, cells } = exampleResult();
const sweep = exampleEvidence('data:,').sweep!;
const index = 17 * 30 + 7;
const cell = cells[index]!; // row 18, column 8

test('each lamp stands where the tube saw it from its own front end', () => {
  const [response, aim] = responseChart(array, cell, sweep).data;
  // Front end: (8 − 15.5) · 4.2 mm = −31.5 mm across, (12.5 − 18) · 4.2 mm = −23.1 mm up; first lamp at −400, −300 mm, 1800 mm away.
  expect(response!.x[0]).toBeCloseTo((Math.atan((-400 + 31.5) / 1800) * 180) / Math.PI, 10);
  expect(response!.y[0]).toBeCloseTo((Math.atan((-300 + 23.1) / 1800) * 180) / Math.PI, 10);
  expect((response!.marker as { color: number[] }).color).toEqual(sweep.response[index]);
  expect([aim!.x[0], aim!.y[0]]).toEqual([cell.pointing!.acrossDeg, cell.pointing!.upDeg]);
});

test('the circle is as wide as the acceptance', () => {
  const [circle] = responseChart(array, cell, sweep).layout.shapes as { x0: number; x1: number }[];
  expect(circle!.x1 - circle!.x0).toBeCloseTo(cell.pointing!.acceptanceWidthDeg!, 10);
});

test('a lamp whose light could not be read is left out', () => {
  const response = sweep.response.map((row) => row.map((value, i) => (i === 0 ? null : value)));
  const [trace, ...more] = responseChart(array, { ...cell, pointing: null }, { ...sweep, response }).data;
  expect(trace!.x).toHaveLength(sweep.lamps.length - 1);
  expect(more).toEqual([]);
});
