import { existsSync } from 'node:fs';
import { seededRandom } from '@twolamp/optics';
import { planBench } from '@twolamp/plan';
import { arrayFromFields, criterionFromText, type ShotDraft, writeSession } from '@twolamp/session';
import { readPlan, simulateSession } from '@twolamp/simulate';
import axe from 'axe-core';
import { type Browser, type BrowserContext, chromium, type Locator, type Page } from 'playwright-core';

export const BROWSER = '/usr/bin/chromium';
export const hasBrowser = existsSync(BROWSER);
if (!hasBrowser) console.warn(`No browser at ${BROWSER}: the bench is not tested in one.`);

/** A small array, so that a session takes seconds. */
const SMALL = {
  name: 'Small reed',
  arrangement: 'square',
  rows: 8,
  columns: 10,
  'tube-length': '120 mm',
  'tube-bore': '2.5 mm',
  'tube-wall': 'matte black',
  'back-pitch': '3 mm',
  'front-pitch': '3.6 mm',
} as const;
const PICTURE = 'width: 720, height: 580';

/** The shots that the page plans for the small array with its lamps and room as they stand at first. */
export function plannedShots(): readonly ShotDraft[] {
  const request = {
    array: arrayFromFields(SMALL, 'the test'),
    spacingMm: 60,
    roomMm: 4000,
    criterion: criterionFromText('rayleigh', 'the test'),
  };
  return planBench(request, seededRandom(1), 'the test').evening.session.shots;
}

/** session.yaml of shots of the small array. */
export const sessionOfShots = (shots: readonly ShotDraft[]): string =>
  writeSession({ array: arrayFromFields(SMALL, 'the test'), shots });

/** Photos of the planned shots, by name. */
export async function simulatedPhotos(
  shots: readonly ShotDraft[],
  photo = PICTURE,
): Promise<Map<string, Buffer>> {
  const session = sessionOfShots(shots);
  const list = session.slice(session.indexOf('shots:'));
  const fields = Object.entries(SMALL).map(([key, value]) => `${key}: ${value}`);
  const plan = readPlan(
    `format: twolamp-plan/1\nseed: 11\narray: { ${fields.join(', ')} }\nphoto: { ${photo} }\nfaults: { blocked: 2 }\n${list}`,
    'plan.yaml',
  );
  const photos = new Map<string, Buffer>();
  await simulateSession(plan, (name, file) => {
    photos.set(name, Buffer.from(file));
  });
  return photos;
}

/** Keeps account of what the pages of a context complain of. */
export function complaintsOf(context: BrowserContext): string[] {
  const complaints: string[] = [];
  context.on('page', (page) => {
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
    });
  });
  return complaints;
}

/** A browser that doesn't ask its maker what belongs into a form: pages have no part in that. */
export function launchBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: BROWSER,
    args: ['--no-sandbox', '--disable-features=AutofillServerCommunication'],
  });
}

/** Has all requests of a context's pages and workers go through a proxy, those to this machine too. */
export const behind = (proxy: string) => ({ proxy: { server: proxy, bypass: '<-loopback>' } });

export type Given = { readonly name: string; readonly mimeType: string; readonly buffer: Buffer };

export const given = (name: string, buffer: Buffer): Given => ({ name, mimeType: 'image/jpeg', buffer });

/** Drops files on the page as a person does. */
export async function drop(page: Page, files: readonly Given[]): Promise<void> {
  const data = await page.evaluateHandle(
    (list) => {
      const transfer = new DataTransfer();
      for (const { name, mimeType, base64 } of list) {
        const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
        transfer.items.add(new File([bytes], name, { type: mimeType }));
      }
      return transfer;
    },
    files.map(({ name, mimeType, buffer }) => ({ name, mimeType, base64: buffer.toString('base64') })),
  );
  await page.dispatchEvent('main', 'drop', { dataTransfer: data });
}

/** Types the small array into the form. */
export async function typeArray(page: Page): Promise<void> {
  const fields = {
    name: SMALL.name,
    rows: String(SMALL.rows),
    columns: String(SMALL.columns),
    tubeLength: '120',
    tubeBore: '2.5 mm',
    backPitch: '0.3 cm',
    frontPitch: '3,6',
  };
  for (const [key, value] of Object.entries(fields)) await page.fill(`#field-${key}`, value);
  await page.selectOption('#field-tubeWall', 'matte black');
}

/** Waits until no photo is looked at and no figure drawn. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => document.body.dataset.busy === 'no', null, { timeout: 120_000 });
}

/** Steps, in pixels, by which the pointer looks for a tube on a map. */
const LOOK = { steps: 40, px: 2 } as const;

/** Moves the pointer over a map until it is over a tube; gives what stands beside it then, or nothing. */
export async function labelUnderPointer(map: Locator): Promise<string> {
  const label = map.page().locator('.hover');
  await map.scrollIntoViewIfNeeded();
  const { width, height } = (await map.boundingBox())!;
  for (let step = 0; step < LOOK.steps; step++) {
    await map.hover({ position: { x: width / 3 + LOOK.px * step, y: height / 2 + step } });
    if (await label.isVisible()) return (await label.textContent()) ?? '';
  }
  return '';
}

/** What shuts people out who see, hear or point otherwise. */
export async function barriers(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => (window as unknown as { axe: typeof axe }).axe.run());
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' | ')}`);
}
