import { spawnSync } from 'node:child_process';
import { parseArgs } from 'node:util';
import { readFaults } from './faults.js';

const HELP = `Puts known faults into the code, one at a time, and tells whether the test that should notice does.

npm run --silent faults -- [--list drawn.json] [--quick] [--only NUMBER ...]

--list takes another list than faults.json; --quick takes those whose test runs in seconds. No file is changed: the fault is put in as the test loads it.
`;

const { values } = parseArgs({
  options: {
    list: { type: 'string', default: 'faults.json' },
    quick: { type: 'boolean', default: false },
    only: { type: 'string', multiple: true },
    help: { type: 'boolean', default: false },
  },
});

/** Exit code and words of a test run with a fault put in; none = as it stands. */
function isNoticed(number: number, test: string, name: string): boolean {
  const { status, stdout, stderr } = spawnSync(
    'npx',
    [
      'vitest',
      'run',
      '--config',
      'bench/mutants/vitest.config.ts',
      test,
      '-t',
      name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'),
    ],
    {
      env: { ...process.env, TWOLAMP_FAULTS: values.list, TWOLAMP_FAULT: String(number), NO_COLOR: '1' },
      encoding: 'utf8',
    },
  );
  if (`${stdout}${stderr}`.includes(`${values.list} wants`)) throw new Error(stderr);
  // A file whose fault shows while its tests are set up fails as a whole.
  const ran = /Tests\s.*?(\d+) (passed|failed)|Test Files\s.*?(\d+) failed/.test(stdout);
  if (!ran) throw new Error(`no test ran in ${test} -t ${name}:\n${stdout}${stderr}`);
  return status !== 0;
}

function main(): void {
  const chosen = readFaults(values.list)
    .flatMap(({ test, name, ...fault }, number) =>
      test === null || name === null ? [] : [{ ...fault, test, name, number }],
    )
    .filter(
      ({ quick, number }) => (!values.quick || quick) && (values.only?.includes(String(number)) ?? true),
    );
  let missed = 0;
  console.log('| fault | place | test | noticed |\n|---|---|---|---|');
  for (const { fault, file, test, name, number } of chosen) {
    const noticed = isNoticed(number, test, name);
    if (!noticed) missed++;
    console.log(`| ${number}: ${fault} | ${file} | ${test}: ${name} | ${noticed ? 'yes' : 'NO'} |`);
  }
  process.exitCode = missed === 0 ? 0 : 1;
}

if (values.help) console.log(HELP);
else main();
