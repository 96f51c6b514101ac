import { expect, test, vi } from 'vitest';
import { safeTerminal, showProgress } from './terminal.js';

function shown(interactive: boolean): string {
  let text = '';
  const progress = showProgress(
    safeTerminal({
      out: () => {},
      err: (part) => {
        text += part;
      },
      interactive,
      ask: null,
    }),
  );
  progress.step(1, 2, 'dark.jpg');
  progress.step(1, 2, 'dark.jpg');
  progress.step(2, 2, 'even.jpg');
  progress.end();
  return text;
}

test('a line a step where it can’t be written over', () => {
  expect(shown(false)).toBe('1 of 2: dark.jpg\n2 of 2: even.jpg\n');
});

// ECMA-48: CSI K erases from the cursor to the end of the line.
test('one changing line on a screen, gone at the end', () => {
  expect(shown(true)).toBe('\r\x1b[K1 of 2: dark.jpg\r\x1b[K2 of 2: even.jpg\r\x1b[K');
});

test.each([
  ['an escape code in a name', '\x1b[2Jeven.jpg', '1 of 1: \\u{1b}[2Jeven.jpg\n'],
  ['the code that clears the line, in a name', 'a\r\x1b[Kb', '1 of 1: a\\u{d}\\u{1b}[Kb\n'],
  ['a line break in a name', 'a\nb', '1 of 1: a\\u{a}b\n'],
])('%s is shown, not obeyed', (_, name, line) => {
  let text = '';
  const err = (part: string) => {
    text += part;
  };
  showProgress(safeTerminal({ out: () => {}, err, interactive: false, ask: null })).step(1, 1, name);
  expect(text).toBe(line);
});

test('the time that is left, once some steps behind the first are timed', () => {
  vi.useFakeTimers();
  let text = '';
  const progress = showProgress({
    out: () => {},
    err: (part) => {
      text += part;
    },
    interactive: false,
    ask: null,
  });
  for (let step = 1; step <= 6; step++) {
    progress.step(step, 200, `${step}.jpg`);
    // The first step looks for the tubes, and takes long.
    vi.advanceTimersByTime(step === 1 ? 60_000 : 1000);
  }
  vi.useRealTimers();
  // Steps 2 to 4 took a second each: 196 are left before step 5.
  expect(text.split('\n').slice(3, 6)).toEqual([
    '4 of 200: 4.jpg',
    '5 of 200: 5.jpg, about 3 min left',
    '6 of 200: 6.jpg, about 3 min left',
  ]);
});
