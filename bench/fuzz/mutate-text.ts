import type { Draw } from './draw.js';
import { oddQuantity, oddText } from './odd-values.js';

const LINE_TRICKS: readonly ((line: string, draw: Draw) => string)[] = [
  () => '',
  (line) => `${line}\n${line}`,
  (line, draw) => `${' '.repeat(draw.whole(1, 6))}${line}`,
  (line) => line.replace(/^\s+/, '\t'),
  (line) => line.replace(/:/, ' '),
  (line) => line.replace(/:/, ':\n'),
  (line, draw) => `${line} ${JSON.stringify(oddText(draw))}`,
  (line) => `${line} &a`,
  (line) => line.replace(/: .*/, ': *a'),
  (line) => line.replace(/: .*/, ': .inf'),
  (line) => line.replace(/: .*/, ': .nan'),
  (line) => line.replace(/: .*/, ': [1, [2, [3]]]'),
  (line) => line.replace(/: .*/, ': { a: { b: c } }'),
  (line) => line.replace(/: .*/, ': !!binary "AAAA"'),
  (line) => line.replace(/: .*/, ': 2026-01-01'),
  (line) => line.replace(/\w+:/, '__proto__:'),
  (line, draw) => `${oddText(draw)}: ${oddText(draw)}\n${line}`,
];

const VALUE = /(:\s*)("[^"]*"|[^,{}[\]\n]+)/g;

/** The n-th value of the text, replaced. */
function withValue(text: string, draw: Draw, change: (value: string) => string): string {
  const count = [...text.matchAll(VALUE)].length;
  let left = draw.whole(0, Math.max(0, count - 1));
  return text.replace(VALUE, (whole, colon: string, value: string) =>
    left-- === 0 ? `${colon}${change(value)}` : whole,
  );
}

function withBytes(text: string, draw: Draw): string {
  const letters = [...text];
  for (let n = draw.whole(1, 4); n > 0; n--) {
    const at = draw.whole(0, letters.length - 1);
    letters[at] = draw.pick([...'{}[]:,#&*!|>\'"%@`-\t\n 09aé', '\u0000', '\ufeff', '\u0085']);
  }
  return letters.join('');
}

/** A YAML text with one to three slips in it: of a typing person, of a program, or of chance. */
export function mutatedYaml(text: string, draw: Draw): string {
  let mutated = text;
  for (let n = draw.whole(1, 3); n > 0; n--) {
    const way = draw.whole(0, 9);
    if (way < 5) mutated = withValue(mutated, draw, (value) => oddQuantity(draw, value));
    else if (way < 6) mutated = withValue(mutated, draw, () => JSON.stringify(oddText(draw)));
    else if (way < 7) mutated = withBytes(mutated, draw);
    else {
      const lines = mutated.split('\n');
      const at = draw.whole(0, lines.length - 1);
      if (way < 8) {
        const other = draw.whole(0, lines.length - 1);
        [lines[at], lines[other]] = [lines[other]!, lines[at]!];
      } else {
        lines[at] = draw.pick(LINE_TRICKS)(lines[at]!, draw);
      }
      mutated = lines.join('\n');
    }
  }
  return mutated;
}
