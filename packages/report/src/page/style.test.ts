import { describe, expect, test } from 'vitest';
import { luminance } from '../maps/colour-scale.js';
import { pageStyle } from './assets.js';

/** Contrast ratio. Source: WCAG 2.2, definition of contrast ratio. */
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high! + 0.05) / (low! + 0.05);
}

/** The colours of each scheme, in the order of the style sheet: light, dark, print; a later one inherits what it leaves out. */
function schemes(): Record<string, string>[] {
  let colours: Record<string, string> = {};
  return [...pageStyle().matchAll(/:root\s*\{([^}]*)\}/g)].map(([, block]) => {
    const own = [...block!.matchAll(/--(\w[\w-]*):\s*(#[0-9a-f]+);/g)].map(([, name, value]) => [
      name!,
      value!.length === 4 ? `#${[...value!.slice(1)].map((digit) => digit + digit).join('')}` : value!,
    ]);
    colours = { ...colours, ...Object.fromEntries(own) };
    return colours;
  });
}

describe('the page’s colours', () => {
  test('there are three schemes', () => {
    expect(schemes()).toHaveLength(3);
  });

  // WCAG 2.2, success criterion 1.4.3 (AA): at least 4.5 for text of normal size.
  test.each([
    ['ink', 'paper'],
    ['soft', 'paper'],
    ['lamp', 'paper'],
    ['ink', 'raised'],
    ['soft', 'raised'],
    ['lamp', 'raised'],
    ['on-sheet', 'sheet'],
    ['cold', 'sheet'],
  ])('%s on %s is legible in every scheme', (text, ground) => {
    for (const scheme of schemes())
      expect(contrast(scheme[text]!, scheme[ground]!)).toBeGreaterThanOrEqual(4.5);
  });
});
