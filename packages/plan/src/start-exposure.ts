import { requirePositive } from '@twolamp/optics';

/** A phone's main camera, at its base sensitivity. Common practice, no source. */
export const CAMERA = { fNumber: 1.8, iso: 100 } as const;
/** Luminance of an overcast sky by day, cd/m². Common practice, no source. */
const OVERCAST_SKY = 2000;
/** Of a white wall lit by a room lamp, cd/m²: some 500 lx on paint that reflects 0.7. Common practice, no source. */
const LIT_WALL = 110;
/** A small LED lamp of some 100 lm that shines to all sides, candela. Common practice, no source. */
const SMALL_LAMP_CD = 8;
/** Share of the light on tracing paper that leaves its other side, evenly to all sides. Common practice, no source. */
const SHEET_TRANSMITTANCE = 0.5;
/** Share of full scale that the brightest spots should reach: below clipping, well above noise. */
const AIM = 0.75;
const MM_PER_M = 1000;

/**
 * Exposure time that brings a surface to the aimed share of full scale.
 *
 * Source: ISO 12232, saturation-based speed S = 78 ÷ H, and focal-plane exposure H = 0.65·L·t/N²; from memory.
 */
function exposureFor(luminance: number): number {
  return (AIM * 78 * CAMERA.fNumber ** 2) / (0.65 * CAMERA.iso * requirePositive('luminance', luminance));
}

/** Luminance of the sheet's back under an illuminance, as a perfect diffuser. */
const sheetLuminance = (illuminance: number) => (SHEET_TRANSMITTANCE * illuminance) / Math.PI;

/** Exposure times to start from, seconds, for {@link CAMERA}; what the first photo shows then decides. */
export interface StartExposure {
  readonly overcastSkyS: number;
  readonly litWallS: number;
  readonly lampS: number;
}

/**
 * Where to start with exposures: a first guess within a few stops, since lamps, paper and walls differ.
 *
 * @param evenThroughput - share of even light into a tube's bore that comes out
 * @param lampDistanceMm - of the lamp shots; a tube that looks at the lamp passes all its light
 */
export function startExposure(evenThroughput: number, lampDistanceMm: number): StartExposure {
  const even = (luminance: number) => exposureFor(sheetLuminance(Math.PI * luminance * evenThroughput));
  return {
    overcastSkyS: even(OVERCAST_SKY),
    litWallS: even(LIT_WALL),
    lampS: exposureFor(sheetLuminance(SMALL_LAMP_CD / (lampDistanceMm / MM_PER_M) ** 2)),
  };
}
