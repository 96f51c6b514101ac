import { run } from '@twolamp/cli';

/** What a command line said and ended with. */
export interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs a command line in this process. */
export async function twolamp(...args: string[]): Promise<Said> {
  let out = '';
  let err = '';
  const code = await run(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    interactive: false,
    ask: null,
  });
  return { code, out, err };
}
