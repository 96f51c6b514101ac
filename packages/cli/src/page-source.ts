import { basename, dirname, join, resolve } from 'node:path';
import { localDay, type PageSource } from '@twolamp/report';

/** What the foot of a page says of the files it was made from: each with the folder it lies in, and today's date. */
export function pageSource(...files: readonly string[]): PageSource {
  return {
    files: files.map((file) => {
      const whole = resolve(file);
      return join(basename(dirname(whole)), basename(whole));
    }),
    writtenOn: localDay(new Date()),
  };
}
