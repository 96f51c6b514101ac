import sharp from 'sharp';
import { expect, test } from 'vitest';
import { encodePng } from './encode-png.js';

test('the file is a grey PNG of the same codes, row by row', async () => {
  const grey = Uint8Array.from([0, 1, 127, 128, 254, 255]);
  const file = await encodePng({ width: 3, height: 2, grey });
  expect(await sharp(file).metadata()).toMatchObject({ format: 'png', width: 3, height: 2, channels: 1 });
  expect([...(await sharp(file).toColourspace('b-w').raw().toBuffer())]).toEqual([...grey]);
});

test('refuses codes that don’t fill the picture', async () => {
  await expect(encodePng({ width: 3, height: 2, grey: new Uint8Array(5) })).rejects.toThrow();
});
