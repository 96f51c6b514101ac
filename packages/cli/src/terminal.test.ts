import { expect, test } from 'vitest';
import { showProgress } from './terminal.js';

function shown(interactive: boolean): string {
  let text = '';
  const progress = showProgress({
    out: () => {},
    err: (part) => {
      text += part;
    },
    interactive,
  });
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
