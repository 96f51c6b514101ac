import { type Result, readResult } from '@twolamp/session';
import type { Browser, Page } from 'playwright-core';

/** What page and command line may differ by: 6-page of the design. The resolving distance by half its last shown digit. */
export const BOUNDS = { centrePx: 0.01, light: 0.001, resolvingM: 0.005 };

/** A session may take minutes on a machine that has other work. */
const PATIENCE_MS = 1_200_000;

/** Waits until no photo is looked at and no figure drawn. */
const settled = () => document.body.dataset.busy === 'no';

/** Has a page that asks for a folder get one in the browser's own storage. */
export const keepFolderPicks = (page: Page) =>
  page.addInitScript(() => {
    Object.assign(window, { showDirectoryPicker: () => navigator.storage.getDirectory() });
  });

/** The result that a page saves, read from the folder that it writes; see {@link keepFolderPicks}. */
export async function resultSavedBy(page: Page): Promise<Result> {
  await page.getByRole('button', { name: 'Save into a folder' }).click();
  await page.getByText(/^The folder is the one/).waitFor();
  const text = await page.evaluate(async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('measured');
    return (await (await folder.getFileHandle('result.json')).getFile()).text();
  });
  return readResult(text, 'result.json');
}

/**
 * Measures a session's folder in the page, as a person does who opens the folder and saves what came of it.
 *
 * @param address - of the bench
 */
export async function measureInPage(browser: Browser, address: string, folder: string): Promise<Result> {
  const context = await browser.newContext();
  context.setDefaultTimeout(PATIENCE_MS);
  try {
    const page = await context.newPage();
    await keepFolderPicks(page);
    await page.goto(address);
    await page.locator('[data-field="Session folder"]').setInputFiles(folder);
    await page.getByRole('button', { name: 'Open the report' }).waitFor();
    await page.waitForFunction(settled);
    return await resultSavedBy(page);
  } finally {
    await context.close();
  }
}

/** The largest differences between two results of one session. */
export interface Differences {
  /** Photos that only one of the two used. */
  readonly photos: readonly string[];
  readonly centrePx: number;
  /** Of relative transmission. */
  readonly light: number;
  readonly dip: number;
  /** Null where neither tells a distance; infinite where only one does, or one tells a bound only. */
  readonly resolvingM: number | null;
  /** Tubes with another fault. */
  readonly faults: number;
}

export function differences(there: Result, here: Result): Differences {
  const largest = (values: readonly number[]) => Math.max(0, ...values.map(Math.abs));
  const names = ({ photos }: Result) => photos.map(({ photo }) => photo);
  const resolving = [there.resolving, here.resolving];
  const [one, other] = resolving;
  const alike = one && other && one.bound === other.bound;
  return {
    photos: [
      ...names(there).filter((photo) => !names(here).includes(photo)),
      ...names(here).filter((photo) => !names(there).includes(photo)),
    ],
    centrePx: largest(
      here.cells.map(({ xPx, yPx }, k) => Math.hypot(xPx - there.cells[k]!.xPx, yPx - there.cells[k]!.yPx)),
    ),
    light: largest(
      here.cells.map(
        ({ transmission }, k) => (transmission.relative ?? 0) - (there.cells[k]!.transmission.relative ?? 0),
      ),
    ),
    dip: largest(
      here.pairs.map(({ photo, dip }) => {
        const pair = there.pairs.find((one) => one.photo === photo);
        return (dip ?? 0) - (pair?.dip ?? 0);
      }),
    ),
    resolvingM: resolving.every((one) => one === null)
      ? null
      : alike
        ? Math.abs(one.distanceM - other.distanceM)
        : Number.POSITIVE_INFINITY,
    faults: here.cells.filter(({ fault }, k) => fault !== there.cells[k]!.fault).length,
  };
}
