import { twolamp } from '../../packages/cli/src/fixtures/run-command.js';
import { heldText } from './page-text.js';

const VERBS = [
  'begin',
  'bench',
  'check',
  'compare',
  'demo',
  'measure',
  'plan',
  'preview',
  'report',
  'simulate',
  'weigh',
] as const;

/** What the command says of itself and of each verb. */
heldText('help', async () => {
  const asked = [['--help'], ...VERBS.map((verb) => [verb, '--help'])];
  const said: string[] = [];
  for (const args of asked) {
    const { out, err } = await twolamp(...args);
    said.push(`$ twolamp ${args.join(' ')}\n${out}${err}`);
  }
  return said.join('\n');
});
