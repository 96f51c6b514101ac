import { dirname } from 'node:path';
import { openResult } from './files/open-result.js';
import { fillFolder } from './files/output-folder.js';
import { pageSource } from './page-source.js';
import { REPORT_NAMES, reportFiles } from './report-files.js';
import { showResult } from './show-result.js';
import type { Terminal } from './terminal.js';

export interface ReportOptions {
  readonly out?: string;
  readonly json?: true;
}

/** Writes the report of a result, given by its path or its folder's. */
export async function reportInto(path: string, options: ReportOptions, terminal: Terminal): Promise<void> {
  const { file, result, evidence } = await openResult(path);
  const folder = options.out ?? dirname(file);
  await fillFolder(folder, REPORT_NAMES, async ({ write }) =>
    write(await reportFiles(result, evidence, pageSource(file))),
  );
  showResult(result, folder, options.json === true, terminal);
}
