import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { comparisonSchema } from '../comparison-format.js';
import { evidenceSchema } from '../evidence-format.js';
import { InputError } from '../errors.js';
import { readComparison, readEvidence, readResult, readSession } from '../read.js';
import { resultSchema } from '../result-format.js';

/** Files that the last program of version 1 wrote, of one small simulated session. */
const kept = (name: string) =>
  readFileSync(new URL(`../../examples/version-1/${name}`, import.meta.url), 'utf8');

describe('files of version 1 are read as files of version 2', () => {
  const result = readResult(kept('result.json'), 'result.json');
  const old = JSON.parse(kept('result.json'));

  test('a result keeps its figures, and its sentences as findings', () => {
    expect(resultSchema.parse(JSON.parse(JSON.stringify(result)))).toEqual(result);
    expect(result).toMatchObject({ format: 'twolamp-result/2', made: null, wall: null });
    expect(result.cells.map(({ transmission }) => transmission)).toEqual(
      old.cells.map((cell: { transmission: object }) => cell.transmission),
    );
    expect(result.pairs).toEqual(old.pairs);
    expect(result.resolving).toMatchObject(old.resolving);
    expect(result.findings).toEqual(
      old.notes.map(({ about, says }: { about: string; says: string }) => ({
        code: 'note-v1',
        about,
        values: { text: says },
      })),
    );
    const leaky = result.cells.find(({ fault }) => fault === 'leaky')!;
    expect(leaky.crosstalk!.worst).toMatchObject({ cell: 21, row: 3, column: 5, shareUncertainty: null });
    expect(leaky.reasons).toMatchObject([{ code: 'reason-v1' }]);
    expect(result.cells.find(({ fault }) => fault === 'none')!.reasons).toEqual([]);
  });

  test('cells get their number and place', () => {
    // 6 × 8 tubes 3 mm apart: the last stands 3.5 pitches to the right and 2.5 below the middle.
    expect(result.cells.map(({ cell }) => cell)).toEqual(Array.from({ length: 48 }, (_, k) => k + 1));
    expect(result.cells[47]).toMatchObject({ atMm: { across: 10.5, up: -7.5 }, state: 'filled' });
  });

  test('a comparison, evidence and a session', () => {
    const comparison = readComparison(kept('compare.json'), 'compare.json');
    expect(comparisonSchema.parse(JSON.parse(JSON.stringify(comparison)))).toEqual(comparison);
    expect(comparison.tubes[47]).toMatchObject({ cell: 48, row: 6, column: 8 });
    expect(comparison.findings[0].code).toBe('note-v1');
    const evidence = readEvidence(kept('evidence.json'), 'evidence.json');
    expect(evidenceSchema.parse(JSON.parse(JSON.stringify(evidence)))).toEqual(evidence);
    expect(readSession(kept('session.yaml'), 'session.yaml').shots).toHaveLength(46);
  });

  test.each([
    ['a field that version 1 has not', { ...old, findings: [] }, 'findings is not a known field'],
    ['a missing field', { ...old, cells: undefined }, 'cells: it is missing'],
    [
      'pitches that no array can have',
      { ...old, array: { ...old.array, backPitchMm: 9 } },
      'array.frontPitchMm: found',
    ],
  ])('%s is refused', (_, data, message) => {
    const read = () => readResult(JSON.stringify(data), 'FILE');
    expect(read).toThrow(InputError);
    expect(read).toThrow(`FILE: ${message}`);
  });
});
