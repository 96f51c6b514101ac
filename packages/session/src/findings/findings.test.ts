import { describe, expect, test } from 'vitest';
import { findingSchema, reasonSchema } from './define.js';
import { FAULT_REASONS, FINDINGS, finding, isDoubt, reason, RESULT_FINDINGS } from './index.js';

const codes = Object.values(FINDINGS).flatMap((area) => Object.keys(area));

describe('the table', () => {
  test('has each code once', () => {
    expect([...codes].sort()).toEqual([...new Set(codes)].sort());
  });

  test.each(Object.keys(FINDINGS.doubt))('%s gives what is stated, seen or fitting', (code) => {
    const names = Object.keys(FINDINGS.doubt[code as keyof typeof FINDINGS.doubt].values);
    expect(names.some((name) => /^(stated|seen|fitting)/.test(name))).toBe(true);
  });

  test('codes that begin with doubt- stand in the area doubt, and nowhere else', () => {
    const doubts = codes.filter((code) => isDoubt({ code }));
    expect(doubts).toEqual(Object.keys(FINDINGS.doubt));
    expect(isDoubt(finding('no-dark', 'photos', {}))).toBe(false);
  });
});

describe('a finding', () => {
  const schema = findingSchema(RESULT_FINDINGS);
  const good = finding('lamps-too-few', 'pointing', { lamps: 2, needed: 9 });

  test('reads back as it was written', () => {
    expect(schema.parse(JSON.parse(JSON.stringify(good)))).toEqual(good);
    const why = reason('open', { share: 1.4 });
    expect(reasonSchema(FAULT_REASONS).parse(why)).toEqual(why);
  });

  test.each([
    ['an unknown code', { ...good, code: 'lamps-blue' }],
    ['an unknown value', { ...good, values: { ...good.values, colour: 'blue' } }],
    ['a missing value', { ...good, values: { lamps: 2 } }],
    ['a value of another type', { ...good, values: { lamps: '2', needed: 9 } }],
    ['another part', { ...good, about: 'wall' }],
  ])('with %s is refused', (_, data) => {
    expect(schema.safeParse(data).success).toBe(false);
  });

  test('is checked by the compiler', () => {
    // @ts-expect-error no such code
    finding('lamps-blue', 'pointing', {});
    // @ts-expect-error about another part
    finding('lamps-too-few', 'wall', { lamps: 2, needed: 9 });
    // @ts-expect-error a value is missing
    finding('lamps-too-few', 'pointing', { lamps: 2 });
    // @ts-expect-error text for a number
    reason('open', { share: '1.4' });
  });
});
