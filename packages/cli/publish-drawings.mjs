// Writes the README's drawings by the README's own plan command, from the built package: run by `npm run drawings`.
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));
const readme = readFileSync(join(root, 'README.md'), 'utf8');
const [, command] = /twolamp -- (plan [\s\S]*?) --out /.exec(readme);
const words = [...command.replaceAll('\\\n', ' ').matchAll(/"([^"]*)"|(\S+)/g)].map(
  ([, quoted, bare]) => quoted ?? bare,
);
const made = mkdtempSync(join(tmpdir(), 'twolamp-drawings-'));
try {
  const program = join(root, 'packages/cli/dist/main.js');
  execFileSync(process.execPath, [program, ...words, '--out', made], { stdio: 'ignore' });
  mkdirSync(join(root, 'datasets/drawings'), { recursive: true });
  for (const name of ['bench.svg', 'camera.svg', 'sheet.svg'])
    copyFileSync(join(made, name), join(root, 'datasets/drawings', name));
} finally {
  rmSync(made, { recursive: true });
}
