import type { CDPSession } from 'playwright-core';

/** Seconds of processor time of all pages of a browser so far. */
async function cpuS(session: CDPSession): Promise<number> {
  const { processInfo } = (await session.send('SystemInfo.getProcessInfo')) as {
    processInfo: { type: string; cpuTime: number }[];
  };
  return processInfo.filter(({ type }) => type === 'renderer').reduce((sum, { cpuTime }) => sum + cpuTime, 0);
}

export interface Timed {
  readonly passedS: number;
  /** Processor time of the browser's pages, all threads: on a machine that has other work only it says something of them. */
  readonly cpuS: number;
}

/** A clock that starts now and tells what has passed, as often as it is asked. */
export async function clock(session: CDPSession): Promise<() => Promise<Timed>> {
  const cpu = await cpuS(session);
  const from = performance.now();
  return async () => ({ passedS: (performance.now() - from) / 1000, cpuS: (await cpuS(session)) - cpu });
}
