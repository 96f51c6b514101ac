/**
 * The same sessions measured by the page and by the command line's way of reading photos, held against each other.
 *
 *   node bench/dist/page/fronts.js FOLDER ... [--format heic|png16|turned]
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { serveBench } from '@twolamp/page';
import { chromium } from 'playwright-core';
import { measureFolder } from '../accuracy/run-session.js';
import { FORMATS, type FormatName, inOtherFormats } from './other-formats.js';
import { BOUNDS, differences, measureInPage } from './two-fronts.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { format: { type: 'string' } },
});
const { format } = values;
if (format !== undefined && !(format in FORMATS)) {
  throw new RangeError(`--format must be one of ${Object.keys(FORMATS).join(', ')}, got ${format}`);
}

const bench = await serveBench({ port: 0, phone: null });
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
console.log(
  '| session | photos that one left out | centres, px | light | dips | resolving distance, mm | faults |',
);
console.log('|---|---|---|---|---|---|---|');
for (const folder of positionals) {
  const copy = mkdtempSync(join(tmpdir(), 'twolamp-fronts-'));
  try {
    if (format !== undefined) await inOtherFormats(folder, copy, () => format as FormatName);
    const used = format === undefined ? folder : copy;
    const { photos, centrePx, light, dip, resolvingM, faults } = differences(
      await measureInPage(browser, bench.address, used),
      (await measureFolder(used)).result,
    );
    const name = `${basename(folder)}${format === undefined ? '' : `, ${format}`}`;
    const resolving = resolvingM === null ? 'none' : (1000 * resolvingM).toFixed(2);
    console.log(
      `| ${name} | ${photos.join(' ') || 'none'} | ${centrePx.toFixed(5)} | ${light.toFixed(6)} | ${dip.toFixed(6)} | ${resolving} | ${faults} |`,
    );
  } finally {
    rmSync(copy, { recursive: true });
  }
}
console.log(`\nBounds: ${BOUNDS.centrePx} px, ${BOUNDS.light}, ${1000 * BOUNDS.resolvingM} mm.`);
await browser.close();
await bench.close();
