import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { type Random, seededRandom } from '@twolamp/optics';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import type { DrawnFault } from './faults.js';

const HELP = `Draws faults from all that Stryker would put into the code of some packages: lines by chance, one fault each.

node bench/dist/mutants/draw.js --seed 1 --count 80 --packages measure,report,plan,cli

Left out: what empties whole functions, objects or lists (any test that runs them notices), words of errors that only a mistake of our
own throws, words without a space (names of fields and kinds, which the compiler holds), and code that only tests and examples use.
`;

const { values } = parseArgs({
  options: {
    seed: { type: 'string', default: '1' },
    count: { type: 'string', default: '80' },
    packages: { type: 'string', default: 'measure,report,plan,cli' },
    help: { type: 'boolean', default: false },
  },
});

const EMPTYING = ['BlockStatement', 'ArrowFunction', 'ObjectLiteral', 'ArrayDeclaration'];
const NOT_FOR_USERS = /\.test\.ts$|\.d\.ts$|\/(fixtures|example)\//;
const OWN_MISTAKE = /(Range|Type)Error\(/;

interface Place {
  readonly line: number;
  readonly column: number;
}

const sourceFiles = (packages: readonly string[]): string[] =>
  execFileSync('git', ['ls-files', ...packages.map((name) => `packages/${name}/src/**.ts`)], {
    encoding: 'utf8',
  })
    .trim()
    .split('\n')
    .filter((file) => !NOT_FOR_USERS.test(file));

/** Where a place given by line and column, both from 0, lies in a text. */
function offsetOf(text: string, { line, column }: Place): number {
  let offset = 0;
  for (let n = 0; n < line; n++) offset = text.indexOf('\n', offset) + 1;
  return offset + column;
}

/** The edit as text that stands in the file once: widened to whole lines until it does. */
function asText(source: string, from: number, to: number, replacement: string) {
  let start = from;
  let end = to;
  while (source.split(source.slice(start, end)).length !== 2) {
    start = source.lastIndexOf('\n', start - 2) + 1;
    const next = source.indexOf('\n', end + 1);
    end = next === -1 ? source.length : next;
  }
  return {
    find: source.slice(start, end),
    replace: source.slice(start, from) + replacement + source.slice(to, end),
  };
}

async function faultsOf(file: string): Promise<Map<number, DrawnFault[]>> {
  const source = readFileSync(file, 'utf8');
  const quiet = { debug() {}, info() {}, warn: console.warn, isDebugEnabled: () => false };
  const { mutants } = await new Instrumenter(quiet as never).instrument(
    [{ name: file, content: source, mutate: true }],
    { plugins: [], excludedMutations: [], ignorers: [], noHeader: true },
  );
  const lines = source.split('\n');
  const byLine = new Map<number, DrawnFault[]>();
  for (const { location, mutatorName, replacement } of mutants) {
    const [from, to] = [offsetOf(source, location.start), offsetOf(source, location.end)];
    const old = source.slice(from, to);
    const { line } = location.start;
    if (EMPTYING.includes(mutatorName)) continue;
    if (mutatorName === 'StringLiteral' && !old.includes(' ')) continue;
    if (OWN_MISTAKE.test(`${lines[line - 1]}${lines[line]}`)) continue;
    const edit = { fault: mutatorName, file, ...asText(source, from, to, replacement) };
    byLine.set(line, [...(byLine.get(line) ?? []), edit]);
  }
  return byLine;
}

const oneOf = <T>(random: Random, all: readonly T[]): T => all[Math.floor(random.uniform() * all.length)]!;

async function main(): Promise<void> {
  const random = seededRandom(Number(values.seed));
  const lines: DrawnFault[][] = [];
  for (const file of sourceFiles(values.packages.split(','))) {
    lines.push(...(await faultsOf(file)).values());
  }
  const drawn: DrawnFault[] = [];
  while (drawn.length < Number(values.count)) {
    const [line] = lines.splice(Math.floor(random.uniform() * lines.length), 1);
    drawn.push(oneOf(random, line!));
  }
  console.log(JSON.stringify(drawn, null, 2));
}

if (values.help) console.log(HELP);
else await main();
