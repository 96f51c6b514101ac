import { run } from '@twolamp/cli';

/** Runs a command line and catches what it says. */
export async function twolamp(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const said = { out: '', err: '' };
  const code = await run(args, {
    out: (text) => {
      said.out += text;
    },
    err: (text) => {
      said.err += text;
    },
    interactive: false,
  });
  return { code, ...said };
}
