import { expect, test } from 'vitest';

/*
 * What people read, as it stood when it was last looked at. Every sentence, figure, unit and label of a page is there once, so that
 * none goes missing or changes unseen; whether it is true is for other tests. Where a change means to say it otherwise: run the test
 * with `-u`, and read what changed before it is taken.
 */

/** Longer lists of a chart's numbers are what other tests hold against figures. */
const MOST_NUMBERS = 24;
const DIGITS = 5;

/** A chart's data, one line a field; numbers to {@link DIGITS} digits. */
function chartLines(value: unknown, path: string): string[] {
  if (Array.isArray(value) && value.every((one) => typeof one !== 'object' || one === null)) {
    const some = value.slice(0, MOST_NUMBERS).map((one) => chartLines(one, '')[0]!.slice(2));
    return [`${path}: ${some.join(' ')}`];
  }
  if (typeof value === 'object' && value !== null) {
    return Object.entries(value).flatMap(([key, one]) => chartLines(one, `${path}.${key}`));
  }
  const shown = typeof value === 'number' ? Number(value.toPrecision(DIGITS)) : value;
  return [`${path}: ${shown}`];
}

/** The text of a page, one line a piece: labels for those who don't see it, words, and what its charts are drawn from. */
export function textOf(page: string): string {
  const charts = /<script type="application\/json" id="charts">(.*)<\/script>/.exec(page)?.[1];
  const markup = page
    .replace(/<(script|style|title)[^>]*>[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*?(?:aria-label|alt|title)="([^"]*)"[^>]*>/g, '\n[$1]\n')
    .replace(/<use href="#(mark-\w+)"[^>]*>/g, ' ($1) ')
    .replace(/<\/?(a|abbr|b|button|em|i|span|strong|sub|sup|td|th|tspan)\b[^>]*>/g, ' ')
    .replace(/<[^>]*>/g, '\n');
  const lines = markup
    .replaceAll(/&nbsp;|\u00a0/g, ' ')
    .split('\n')
    .map((line) => line.replaceAll(/\s+/g, ' ').trim())
    .filter((line) => line !== '');
  const drawn = charts === undefined ? [] : chartLines(JSON.parse(charts), 'charts');
  return `${[...lines, ...drawn].join('\n')}\n`;
}

/** Holds a text against the file of this name in the folder `text`. */
export function heldText(name: string, text: () => string | Promise<string>): void {
  test(`${name} says what it said when it was last read`, async () => {
    await expect(await text()).toMatchFileSnapshot(`text/${name}.txt`);
  });
}
