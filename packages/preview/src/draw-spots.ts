import { type ArrayGeometry, tubeLayout } from '@twolamp/optics';

/** Greys coded by the sRGB curve, 0 = black, 255 = white; H × W, row-major, as seen from the back. */
export interface GreyPicture {
  readonly width: number;
  readonly height: number;
  readonly grey: Uint8Array;
}

/** One picture on the sheet: as the eye sees it, and as paper that darkens where light falls. */
export interface SpotPictures {
  readonly positive: GreyPicture;
  readonly negative: GreyPicture;
}

const LONGER_SIDE_PX = 1600;
const MOST_PITCH_PX = 24;
const LEAST_PITCH_PX = 4;

/**
 * The spots that tubes paint on the sheet: each one a filled disc as wide as the bore, black in between.
 *
 * The negative has the inverted tones of the positive, without the contrast of any paper.
 *
 * @param tones - one a tube in reading order, 0 = black, 1 = white, sRGB-coded
 */
export function drawSpots(array: ArrayGeometry, tones: Float64Array): SpotPictures {
  const layout = tubeLayout(array);
  const places = Array.from(tones, (_, i) => ({ across: layout.across[i], up: layout.up[i] }));
  const most = (values: readonly number[]) => values.reduce((a, b) => Math.max(a, b), 0);
  const halfAcross = most(places.map(({ across }) => Math.abs(across))) + 0.5;
  const halfUp = most(places.map(({ up }) => Math.abs(up))) + 0.5;
  const wanted = Math.floor(LONGER_SIDE_PX / (2 * Math.max(halfAcross, halfUp)));
  const pitchPx = Math.min(MOST_PITCH_PX, Math.max(LEAST_PITCH_PX, wanted));
  const width = Math.round(2 * halfAcross * pitchPx);
  const height = Math.round(2 * halfUp * pitchPx);
  const radius = (pitchPx * array.tubeBoreMm) / array.backPitchMm / 2;
  const grey = new Uint8Array(width * height);
  places.forEach(({ across, up }, i) => {
    const middleX = (across + halfAcross) * pitchPx - 0.5;
    const middleY = (halfUp - up) * pitchPx - 0.5;
    const tone = 255 * tones[i];
    const lastY = Math.min(height - 1, Math.floor(middleY + radius + 1));
    const lastX = Math.min(width - 1, Math.floor(middleX + radius + 1));
    for (let y = Math.max(0, Math.ceil(middleY - radius - 1)); y <= lastY; y++) {
      for (let x = Math.max(0, Math.ceil(middleX - radius - 1)); x <= lastX; x++) {
        // Approximate share of the pixel that the disc covers.
        const covered = Math.min(1, radius + 0.5 - Math.hypot(x - middleX, y - middleY));
        if (covered > 0) grey[y * width + x] = Math.max(grey[y * width + x], Math.round(covered * tone));
      }
    }
  });
  return {
    positive: { width, height, grey },
    negative: { width, height, grey: grey.map((value) => 255 - value) },
  };
}
