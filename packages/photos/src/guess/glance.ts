import type { LinearPhoto, ShotPhoto } from '@twolamp/session';

/** Blocks across the longer side of a photo: coarse enough that neighbouring tubes run together. */
const BLOCKS = 32;
/** A block is lit from this share of the way between the darkest and the brightest block. */
const LIT = 0.4;
/** Share of all blocks that is darker than what counts as dark. */
const FLOOR_RANK = 0.05;

/** A photo that gives its light reduced is looked at with this many pixels along its longer side, or up to twice as many. */
const LOOK_PX = 2000;

/** One pixel in this many may be a defect or a reflection. */
const FEW = 5000;
const BINS = 1024;

/** The look of a photo at arm's length. */
export interface Glance {
  /** Light of the brightest block, 1 = full scale. */
  readonly peak: number;
  /** Light that one pixel in {@link FEW} exceeds, 1 = full scale. */
  readonly bright: number;
  /** Share of the picture that is lit. */
  readonly litShare: number;
  /** Longer over shorter axis of the lit patch, by second moments: 1 = round. */
  readonly elongation: number;
  /**
   * How strongly light varies inside a lit block, standard deviation ÷ mean, median of the blocks: tubes show here, a bare sheet
   * doesn't, nor does its border, which only some blocks hold.
   */
  readonly texture: number;
  /** Share of pixels that are clipped. */
  readonly clippedShare: number;
}

interface Block {
  readonly x: number;
  readonly y: number;
  readonly mean: number;
  readonly variation: number;
}

/** What is looked at, and the share of the photo's pixels that are clipped. */
type Seen = Pick<LinearPhoto, 'width' | 'height' | 'light'> & { readonly clippedShare: number };

function seen(photo: ShotPhoto): Seen {
  const count = photo.width * photo.height;
  if (!('reduced' in photo)) {
    return { ...photo, clippedShare: photo.clipped.reduce((sum, one) => sum + one, 0) / count };
  }
  const factor = Math.max(1, Math.floor(Math.max(photo.width, photo.height) / LOOK_PX));
  const { width, height, data } = photo.reduced(factor);
  return { width, height, light: data, clippedShare: photo.clippedPixels / count };
}

function blocksOf({ width, height, light }: Seen): Block[] {
  const size = Math.max(1, Math.floor(Math.max(width, height) / BLOCKS));
  const blocks: Block[] = [];
  for (let top = 0; top + size <= height; top += size) {
    for (let left = 0; left + size <= width; left += size) {
      let sum = 0;
      let squares = 0;
      for (let y = top; y < top + size; y++) {
        for (let x = left; x < left + size; x++) {
          const value = light[y * width + x]!;
          sum += value;
          squares += value * value;
        }
      }
      const mean = sum / size ** 2;
      const deviation = Math.sqrt(Math.max(0, squares / size ** 2 - mean ** 2));
      blocks.push({ x: left / size, y: top / size, mean, variation: mean > 0 ? deviation / mean : 0 });
    }
  }
  return blocks;
}

const middle = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** By a histogram, to 1 ÷ {@link BINS} of full scale. */
function brightLight(light: Float32Array): number {
  const counts = new Uint32Array(BINS);
  for (const value of light) counts[Math.min(BINS - 1, Math.max(0, Math.floor(value * BINS)))]!++;
  let above = 0;
  for (let bin = BINS - 1; bin > 0; bin--) {
    above += counts[bin]!;
    if (above > light.length / FEW) return (bin + 0.5) / BINS;
  }
  return 0;
}

/** √ of the ratio of the two principal second moments, each with a block's own extent of 1/12 in it. */
function elongationOf(blocks: readonly Block[], floor: number): number {
  let weight = 0;
  let x = 0;
  let y = 0;
  for (const block of blocks) {
    weight += block.mean - floor;
    x += (block.mean - floor) * block.x;
    y += (block.mean - floor) * block.y;
  }
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const block of blocks) {
    const share = (block.mean - floor) / weight;
    xx += share * (block.x - x / weight) ** 2;
    yy += share * (block.y - y / weight) ** 2;
    xy += share * (block.x - x / weight) * (block.y - y / weight);
  }
  const middle = (xx + yy) / 2 + 1 / 12;
  const reach = Math.hypot((xx - yy) / 2, xy);
  return Math.sqrt((middle + reach) / (middle - reach));
}

/**
 * How a photo looks at arm's length: how bright, how much of it is lit, how the lit patch is shaped.
 *
 * For a first guess at what was shot, not for measuring.
 */
export function glance(photo: ShotPhoto): Glance {
  const picture = seen(photo);
  const blocks = blocksOf(picture);
  const ranked = blocks.map((block) => block.mean).sort((a, b) => a - b);
  const peak = ranked[ranked.length - 1]!;
  const darkest = ranked[Math.floor(FLOOR_RANK * (ranked.length - 1))]!;
  const floor = darkest > LIT * peak ? 0 : darkest; // else all of it is lit
  const lit = blocks.filter((block) => block.mean > floor + LIT * (peak - floor));
  return {
    peak,
    bright: brightLight(picture.light),
    litShare: lit.length / blocks.length,
    elongation: lit.length === 0 ? 1 : elongationOf(lit, floor),
    texture: lit.length === 0 ? 0 : middle(lit.map(({ variation }) => variation)),
    clippedShare: picture.clippedShare,
  };
}
