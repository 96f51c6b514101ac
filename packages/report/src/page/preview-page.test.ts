import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { expect, test } from 'vitest';
import { examplePreview } from '../../../words/src/example/example-preview.js';
import { previewPage } from './preview-page.js';

const PIXEL = (name: string) => `data:image/png;base64,${Buffer.from(name).toString('base64')}`;
const print = (name: string) => ({ positive: PIXEL(`${name}+`), negative: PIXEL(`${name}-`) });
const pictures = {
  scene: PIXEL('scene'),
  asMeasured: print('now'),
  repaired: print('repaired'),
  perfect: print('perfect'),
};

test('shows every picture once with its caption, holds no script, and takes names for text', () => {
  const nasty = '<script>alert(1)</script>';
  const preview = { ...examplePreview(), array: nasty };
  const page = previewPage(
    { ...preview, scene: { ...preview.scene, photo: nasty } },
    pictures,
    EXAMPLE_SOURCE,
  );
  const sources = [...page.matchAll(/<img class="picture" src="([^"]+)" alt="[^"]+">/g)].map(
    ([, source]) => source,
  );
  const { scene, asMeasured, repaired, perfect } = pictures;
  expect(sources).toEqual([
    scene,
    ...[asMeasured, repaired, perfect].map((one) => one.positive),
    ...[asMeasured, repaired, perfect].map((one) => one.negative),
  ]);
  expect(page).not.toContain('<script');
  expect(page).toContain('&lt;script&gt;');
  expect(page.length).toBeLessThan(60_000);
});

test('the frame on the scene is what the tubes look at, cut off at the edges', () => {
  // Example: 0.6 × 0.4 m, field −0.15 to 0.15 across, −0.25 to 0.1 up: a quarter off the top, right and left, none below.
  expect(previewPage(examplePreview(), pictures, EXAMPLE_SOURCE)).toContain(
    'style="inset:25.00% 25.00% 0.00% 25.00%"',
  );
});
