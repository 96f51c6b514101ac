import sharp, { type Sharp } from 'sharp';
import type { Draw } from './draw.js';

const encoders: Record<string, (picture: Sharp) => Sharp> = {
  jpeg: (one) => one.jpeg({ quality: 92 }),
  'progressive jpeg': (one) => one.jpeg({ progressive: true }),
  png: (one) => one.png(),
  'png with a palette': (one) => one.png({ palette: true }),
  '16-bit png': (one) => one.toColourspace('rgb16').png(),
  webp: (one) => one.webp({ quality: 92 }),
  'lossless webp': (one) => one.webp({ lossless: true }),
  tiff: (one) => one.tiff({ compression: 'none' }),
  'lzw tiff': (one) => one.tiff({ compression: 'lzw' }),
  'tiled tiff': (one) => one.tiff({ compression: 'deflate', tile: true, tileWidth: 64, tileHeight: 64 }),
  'tiled plain tiff': (one) => one.tiff({ compression: 'none', tile: true, tileWidth: 64, tileHeight: 64 }),
  '1-bit tiff': (one) => one.toColourspace('b-w').tiff({ bitdepth: 1 }),
  '1-bit png': (one) => one.threshold(90).png({ palette: true, colours: 2 }),
  avif: (one) => one.avif({ quality: 80 }),
  gif: (one) => one.gif(),
};

/** Names of the encodings. */
export const ENCODINGS = Object.keys(encoders);

export function encoded(photo: Buffer, encoding: string): Promise<Buffer> {
  return encoders[encoding]!(sharp(photo)).toBuffer();
}

/** Bytes changed, zeroed, repeated, moved or cut off: what disks, cards and transfers do. */
export function damagedBytes(bytes: Buffer, draw: Draw): Buffer {
  const out = Buffer.from(bytes);
  const at = () => draw.whole(0, out.length - 1);
  switch (draw.whole(0, 5)) {
    case 0:
      return out.subarray(0, at());
    case 1: {
      const from = at();
      out.fill(0, from, Math.min(out.length, from + draw.whole(1, Math.ceil(out.length / 10))));
      return out;
    }
    case 2:
      out.copy(out, at(), at(), at());
      return out;
    case 3:
      // The header alone: sizes, depths, offsets.
      for (let n = draw.whole(1, 4); n > 0; n--)
        out[draw.whole(0, Math.min(200, out.length - 1))] = draw.whole(0, 255);
      return out;
    default:
      for (let n = draw.whole(1, 4); n > 0; n--) out[at()] = draw.whole(0, 255);
      return out;
  }
}

type Size = { readonly width: number; readonly height: number };

function flat({ width, height }: Size, level: number): Sharp {
  return sharp({ create: { width, height, channels: 3, background: { r: level, g: level, b: level } } });
}

function noise({ width, height }: Size, draw: Draw, mean: number, spread: number): Sharp {
  const data = Buffer.alloc(width * height * 3);
  for (let i = 0; i < data.length; i += 3)
    data.fill(Math.max(0, mean + draw.whole(-spread, spread)), i, i + 3);
  return sharp(data, { raw: { width, height, channels: 3 } });
}

/** A picture of something else: sky, hills, a house with windows. */
function holiday({ width, height }: Size, draw: Draw): Sharp {
  const hill = draw.whole(30, 70);
  const panes = Array.from({ length: 9 }, (_, i) => {
    const [x, y] = [55 + 6 * (i % 3), 55 + 8 * Math.floor(i / 3)];
    return `<rect x="${x}%" y="${y}%" width="3%" height="5%" fill="#ffd"/>`;
  });
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="#8bd"/>` +
    `<ellipse cx="30%" cy="100%" rx="${hill}%" ry="45%" fill="#384"/><rect x="50%" y="50%" width="25%" height="40%" fill="#a65"/>` +
    `${panes.join('')}<circle cx="80%" cy="15%" r="7%" fill="#ffc"/></svg>`;
  return sharp(Buffer.from(svg)).removeAlpha();
}

const PICTURES: Record<string, (size: Size, draw: Draw) => Sharp> = {
  black: (size) => flat(size, 0),
  white: (size) => flat(size, 255),
  grey: (size, draw) => flat(size, draw.whole(20, 200)),
  'dim noise': (size, draw) => noise(size, draw, 6, 6),
  noise: (size, draw) => noise(size, draw, 128, 127),
  'a holiday picture': holiday,
};

/** Names of the foreign pictures. */
export const FOREIGN = Object.keys(PICTURES);

/** A picture that is none of the bench, as PNG. */
export function foreignPicture(name: string, size: Size, draw: Draw): Promise<Buffer> {
  return PICTURES[name]!(size, draw).png().toBuffer();
}

/** A photo turned, mirrored, cut, or of another size. */
export function reshaped(photo: Buffer, draw: Draw): Promise<Buffer> {
  const picture = sharp(photo);
  const ways: (() => Sharp)[] = [
    () => picture.rotate(90),
    () => picture.rotate(180),
    () => picture.flop(),
    () => picture.resize({ width: draw.whole(1, 300) }),
    () => picture.resize(draw.whole(32, 200), draw.whole(32, 200), { fit: 'fill' }),
    () => picture.extract({ left: 0, top: 0, width: 64, height: 64 }),
    () => picture.blur(draw.whole(1, 12)),
    () => picture.linear(draw.whole(0, 8), 0),
    () => picture.negate(),
    () => picture.ensureAlpha(0.5),
    () => picture.toColourspace('cmyk').jpeg(),
    () =>
      picture.withExif({ IFD2: { ExposureTime: draw.pick(['1/0', '0/1', '1/4000000000', '4000000000/1']) } }),
  ];
  return draw.pick(ways)().toBuffer();
}
