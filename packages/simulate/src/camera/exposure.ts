/** How a photo is exposed. */
export interface Exposure {
  readonly seconds: number;
  readonly iso: number;
}

/** Shutter times as cameras state them, third stops (common practice, no source). */
const TIMES = [
  1 / 8000,
  1 / 6400,
  1 / 5000,
  1 / 4000,
  1 / 3200,
  1 / 2500,
  1 / 2000,
  1 / 1600,
  1 / 1250,
  1 / 1000,
  1 / 800,
  1 / 640,
  1 / 500,
  1 / 400,
  1 / 320,
  1 / 250,
  1 / 200,
  1 / 160,
  1 / 125,
  1 / 100,
  1 / 80,
  1 / 60,
  1 / 50,
  1 / 40,
  1 / 30,
  1 / 25,
  1 / 20,
  1 / 15,
  1 / 13,
  1 / 10,
  1 / 8,
  1 / 6,
  1 / 5,
  1 / 4,
  0.3,
  0.4,
  0.5,
  0.6,
  0.8,
  1,
  1.3,
  1.6,
  2,
  2.5,
  3.2,
  4,
  5,
  6,
  8,
  10,
  13,
  15,
  20,
  25,
  30,
];
const ISOS = [
  100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400,
];

/** Where the camera puts the brightest spot: at most this share of full scale. */
const BRIGHTEST = 0.72;

/**
 * Light that fills the scale, lx·s at the sheet at ISO 100.
 *
 * A full scale of 78 lx·s / S at the sensor (ISO 12232:2019, saturation-based speed), behind a lens that gives
 * E_sensor = E_sheet · ρ / (4 N²), ρ = ½ for a translucent sheet (common practice, no source).
 */
export function fullScaleLuxSeconds(aperture: number): number {
  return ((78 / 100) * 4 * aperture * aperture) / 0.5;
}

/**
 * The exposure a camera on a stand would take: ISO 100 as long as the time allows, then more ISO.
 *
 * @param brightestLux - brightest light on the sheet; 0 gives the longest time at ISO 100
 * @param longestS - longest time to be used
 */
export function chooseExposure(brightestLux: number, aperture: number, longestS: number): Exposure {
  const times = TIMES.filter((time) => time <= longestS);
  const longest = times.at(-1) ?? TIMES[0];
  const scaleAt = (seconds: number, iso: number) =>
    (brightestLux * seconds * iso) / (100 * fullScaleLuxSeconds(aperture));
  if (brightestLux === 0 || scaleAt(longest, 100) > BRIGHTEST) {
    const seconds = times.filter((time) => scaleAt(time, 100) <= BRIGHTEST).at(-1) ?? TIMES[0];
    return { seconds, iso: 100 };
  }
  const iso = ISOS.filter((value) => scaleAt(longest, value) <= BRIGHTEST).at(-1) ?? 100;
  return { seconds: longest, iso };
}
