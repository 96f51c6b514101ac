import { expect, test } from 'vitest';
import { reason } from '@twolamp/session';
import { cellsCsv, pairsCsv } from './csv.js';
import { exampleResult } from '../../words/src/example/example-result.js';

const result = exampleResult();

/** Reads RFC 4180: records end in CRLF, quoted fields may hold commas, line ends and doubled quotes. */
function readCsv(text: string): string[][] {
  const fields = /("(?:[^"]|"")*"|[^,\r\n]*)(,|\r\n)/g;
  const rows: string[][] = [[]];
  for (const [, raw, end] of text.matchAll(fields)) {
    rows.at(-1)!.push(raw!.startsWith('"') ? raw!.slice(1, -1).replaceAll('""', '"') : raw!);
    if (end === '\r\n') rows.push([]);
  }
  return rows.slice(0, -1);
}

/** Names of all leaves of an object, joined by dots. */
function leaves(value: object, prefix = ''): string[] {
  return Object.entries(value).flatMap(([key, item]) =>
    typeof item === 'object' && item !== null ? leaves(item, `${prefix}${key}.`) : `${prefix}${key}`,
  );
}

test('the columns of cells.csv are the leaves of a cell that has everything', () => {
  const { reasons: _, ...cell } = result.cells.find(({ crosstalk }) => crosstalk?.worst)!;
  const whole = {
    ...cell,
    bend: { bowMm: 1, uncertaintyMm: 0.1 },
    cureShiftMm: { across: 1, up: 1, uncertainty: 0.1 },
    doubtful: false,
    reasons: '',
  };
  expect(readCsv(cellsCsv(result))[0]).toEqual(leaves(whole));
  expect(readCsv(pairsCsv(result))[0]).toEqual(leaves({ ...result.pairs[0]!, doubtful: false }));
});

test('every number stands as in the result, null as an empty field', () => {
  const [header, ...rows] = readCsv(cellsCsv(result));
  expect(rows).toHaveLength(result.cells.length);
  const at = (row: string[], name: string) => row[header!.indexOf(name)];
  rows.forEach((row, i) => {
    const cell = result.cells[i]!;
    expect(Number(at(row, 'transmission.relative'))).toBe(cell.transmission.relative);
    expect(at(row, 'pointing.acrossDeg')).toBe(cell.pointing ? String(cell.pointing.acrossDeg) : '');
    expect(at(row, 'seen')).toBe(String(cell.seen));
  });
});

// Quoting: RFC 4180, section 2, rules 5 to 7. The apostrophe before a formula sign: common practice, no source.
test.each([
  ['aaa,b "bb" b', '"aaa,b ""bb"" b"'],
  ['two\r\nlines', '"two\r\nlines"'],
  ['plain', 'plain'],
  ['=1+1', "'=1+1"],
  ['@x, y', `"'@x, y"`],
])('the reason %j is written %j', (text, written) => {
  const cells = [{ ...result.cells[0]!, reasons: [reason('reason-v1', { text })] }];
  expect(cellsCsv({ ...result, cells }).endsWith(`,${written}\r\n`)).toBe(true);
});
