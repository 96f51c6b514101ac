import sharp from 'sharp';

const WIDTH = 640;
const HEIGHT = 500;

/**
 * An invented picture, PNG: a sky that darkens downwards, a bright disc at the upper right, a checked tower at the left,
 * coloured posts, ground that brightens to the right. It looks the same neither mirrored nor upside down.
 */
export async function scenePicture(): Promise<Buffer> {
  const codes = new Uint8Array(3 * WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) codes.set(colourAt(x, y), 3 * (y * WIDTH + x));
  }
  return sharp(codes, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .png()
    .toBuffer();
}

function colourAt(x: number, y: number): [number, number, number] {
  if (y > 430) return [60 + 0.2 * x, 50 + 0.2 * x, 30 + 0.2 * x];
  if (Math.hypot(x - 455, y - 165) < 80) return [255, 250, 225];
  const inTower = x > 85 && x < 215 && y > 155;
  if (inTower)
    return (Math.floor((x - 85) / 43) + Math.floor((y - 155) / 46)) % 2 === 0
      ? [25, 25, 25]
      : [235, 225, 205];
  if (x > 320 && x < 570 && y > 320 && (x - 320) % 62 < 31) return [200, 90, 40];
  const sky = 190 - 0.3 * y;
  return [sky, sky, sky + 15];
}
