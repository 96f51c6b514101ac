import { fitRobustSurface, madScale, median, thin } from '@twolamp/numeric';
import type { SeenAs } from '@twolamp/session';
import type { CellLight } from '@twolamp/flux';
import type { PhotoLook, SpotLight } from './photo-look.js';
import { quantile } from './quantile.js';
import { TUNING } from './tuning.js';

const finite = (values: Float64Array) => values.filter((value) => Number.isFinite(value));

/** Spot above gap over spot, both above the photo's darkest gaps; of the cells that are at least half as bright as any. */
function contrastOf({ spot, gap }: SpotLight): number {
  const floor = quantile(gap, 0.05);
  const most = quantile(spot, 0.98) - floor;
  let [above, light] = [0, 0];
  spot.forEach((value, k) => {
    if (!(value - floor > most / 2)) return;
    above += value - gap[k]!;
    light += value - floor;
  });
  return light > 0 ? above / light : 0;
}

/** Pixels that differ by less, full scales, are all alike: an eighth of the smallest step of an 8-bit sRGB photo, 1/255/12.92. */
const ALIKE = 4e-5;

/**
 * Whether a photo can't come from the camera that took the even shot: all alike, or with far more noise.
 *
 * @param look - of the photo as it is, as is the reference
 */
export function fromNoCamera(look: PhotoLook, reference: PhotoLook): SeenAs | null {
  const { darkest, brightest } = look;
  if (brightest - darkest < ALIKE && brightest > TUNING.blackLight) return 'all alike';
  const level = Math.max(median(look.spot), median(look.gap), 0);
  const usual = Math.max(median(reference.spot), TUNING.leastNoise);
  // Photon noise grows with the root of the light.
  const noise = reference.noise * Math.sqrt(Math.max(1, level / usual));
  return look.noise > TUNING.noiseRatio * Math.max(noise, TUNING.leastNoise) ? 'noise' : null;
}

/**
 * Whether a dark shot is dark.
 *
 * @param speck - its brightest place in or at the rim of a cell, above the light around it
 * @param exposureRatio - exposure of the dark shot over that of the even shot; null where it isn't known
 */
export function judgeDark(
  look: PhotoLook,
  speck: number,
  reference: PhotoLook,
  exposureRatio: number | null,
): SeenAs | null {
  const alien = fromNoCamera(look, reference);
  if (alien) return alien;
  const tubesLight = ({ spot, gap }: PhotoLook): number => median(spot.map((light, k) => light - gap[k]!));
  const isLit = tubesLight(look) > Math.max(TUNING.darkLevel * tubesLight(reference), TUNING.blackLight);
  const speckless = Math.max(
    TUNING.darkSpeck,
    TUNING.darkSpeckSigmas * look.noise,
    TUNING.darkSpeckShare * median(look.gap),
  );
  if (isLit || speck > speckless) return 'tubes lit';
  // Stray light lies between the even shot's spots as well: as much of it, for its exposure, is no fault of the dark shot.
  const ratio = exposureRatio ?? 1;
  const stray = Math.max(
    TUNING.darkLevel * median(reference.spot) * Math.max(1, ratio),
    TUNING.strayLevel * median(reference.gap) * ratio,
  );
  return median(look.gap) > stray ? 'bright' : null;
}

/** Cells of an array whose rows and columns lie at `u` and `v`, pitches. */
interface Places {
  readonly u: Float64Array;
  readonly v: Float64Array;
}

/** Degree of the smooth surface that even light is taken to follow, in its logarithm. */
const SMOOTH_DEGREE = 2;
/** Judgement: the surface is smooth. Most cells that it is fitted to. */
const MOST_SMOOTHED = 800;

/**
 * How much the light of the first even shot falls off: the dimmest over the brightest place of a smooth surface through the
 * cells that are lit. Null where too few are.
 */
export function evenRange({ flux, sigma }: CellLight, { u, v }: Places): number | null {
  const isLit = (k: number) => flux[k]! > TUNING.litSigmas * sigma[k]!;
  const all = [...flux.keys()].filter(isLit);
  if (all.length < TUNING.leastLit) return null;
  const some = thin(all, MOST_SMOOTHED);
  const of = (values: Float64Array) => Float64Array.from(some, (k) => values[k]!);
  const { at } = fitRobustSurface(of(u), of(v), of(flux).map(Math.log), SMOOTH_DEGREE);
  const lit = Float64Array.from(all, (k) => at(u[k]!, v[k]!));
  return Math.exp(quantile(lit, 0.02) - quantile(lit, 0.98));
}

/**
 * Whether a bare shot shows the sheet alone: lit everywhere, smooth, without spots.
 *
 * @param speck - its brightest place in or at the rim of a cell, above the light around it
 */
export function judgeBare(
  look: SpotLight,
  speck: number,
  reference: SpotLight,
  { u, v }: Places,
): SeenAs | null {
  if (median(look.spot) < TUNING.blackLight) return 'nothing lit';
  const contrasts = look.spot.map((light, k) => (light - look.gap[k]!) / light);
  if (Math.abs(median(contrasts)) > TUNING.bareContrast * contrastOf(reference)) return 'a pattern of spots';
  if (speck > TUNING.bareSpeck * median(look.spot)) return 'not smooth';
  if (quantile(look.spot, 0.02) < TUNING.evenRange * quantile(look.spot, 0.98)) return 'not smooth';
  const logs = look.spot.map(Math.log);
  const { fitted } = fitRobustSurface(u, v, logs, SMOOTH_DEGREE);
  return madScale(
    logs.map((value, k) => value - fitted[k]!),
    0,
  ) > TUNING.bareRoughness
    ? 'not smooth'
    : null;
}

/** A photo's light over the reference's, of the cells that are lit in the latter. */
function ratiosTo(reference: Float64Array, flux: Float64Array): Float64Array {
  const typical = median(reference);
  return finite(flux.map((value, k) => (reference[k]! > typical / 4 ? value / reference[k]! : Number.NaN)));
}

/** Scatter of a photo's light against the reference's, relative to its median; large where that isn't above 0. */
function scatterAgainst(flux: Float64Array, reference: Float64Array): number {
  const ratios = ratiosTo(reference, flux);
  const ratio = median(ratios);
  return ratio > 0 ? madScale(ratios, ratio) / ratio : Number.POSITIVE_INFINITY;
}

/**
 * Whether a photo that should show lit tubes can't: known before their light is measured, so that a picture of something
 * else is not even tried.
 *
 * @param light - of the photo without its stray light, as is the reference
 * @param spotNoise - standard deviation of a spot's light by the pixels' noise
 */
export function judgeSpots(light: SpotLight, spotNoise: number, reference: SpotLight): SeenAs | null {
  const most = quantile(light.spot, 0.98) - quantile(light.gap, 0.05);
  const isClear = most > TUNING.litSigmas * spotNoise && most > TUNING.blackLight;
  return isClear && contrastOf(light) < TUNING.litContrast * contrastOf(reference) ? 'no spots' : null;
}

function unlit({ flux, sigma }: CellLight, reference: Float64Array): SeenAs | null {
  const brightest = Math.max(...flux);
  const least = TUNING.litShare * median(reference);
  if (!flux.some((value, k) => value > TUNING.litSigmas * sigma[k]!) || brightest < least)
    return 'nothing lit';
  const darker = flux.filter(
    (value, k) => value < -TUNING.negativeSigmas * sigma[k]! && value < -TUNING.negativeLight * brightest,
  );
  return darker.length > TUNING.negativeShare * flux.length ? 'darker than its background' : null;
}

/** Whether a further even shot is lit as the reference is. */
export function judgeEven(light: CellLight, reference: Float64Array): SeenAs | null {
  const bad = unlit(light, reference);
  if (bad) return bad;
  return scatterAgainst(light.flux, reference) > TUNING.evenScatter ? 'not even' : null;
}

/**
 * How much a further even shot is lit unlike the reference, where that is more than noise brings.
 *
 * @returns scatter of the cells' light against the reference's, relative; null where they are lit alike
 */
export function litUnlike({ flux, sigma }: CellLight, reference: CellLight): number | null {
  const scatter = scatterAgainst(flux, reference.flux);
  const noise = median(
    flux.map((light, k) => Math.hypot(sigma[k]! / light, reference.sigma[k]! / reference.flux[k]!)),
  );
  return scatter > Math.max(TUNING.evenUnlike, TUNING.evenUnlikeNoise * noise) ? scatter : null;
}

/**
 * Whether a lamp's or a pair's shot shows one or two lamps through the tubes.
 *
 * @param reference - light of the even shot
 * @param expected - light through tubes with black walls, as the lamps are stated; null where it isn't known
 */
export function judgeLamps(
  light: CellLight,
  reference: Float64Array,
  expected: Float64Array | null,
): SeenAs | null {
  const bad = unlit(light, reference);
  // A lamp that looks into holes without a tube is no mistake.
  if (bad === 'nothing lit' && expected && Math.max(...expected) < TUNING.unlitTransmission) return null;
  if (bad || !expected) return bad;
  const ratios = ratiosTo(reference, light.flux);
  const least = Math.min(TUNING.unevenContrast, TUNING.unevenShare * contrastBetween(expected));
  return contrastBetween(ratios) < least ? 'evenly lit' : null;
}

/** Contrast of the brightest cells and the dimmest tenth: (a − b) / (a + b). */
function contrastBetween(values: Float64Array): number {
  const [bright, dim] = [quantile(values, 0.98), quantile(values, 0.1)];
  return (bright - dim) / (bright + dim);
}

/**
 * Whether a single shot shows light from the one tube that is stated.
 *
 * @param reference - light of the even shot
 * @param lit - index of that cell
 */
export function judgeSingle(light: CellLight, reference: Float64Array, lit: number): SeenAs | null {
  const bad = unlit(light, reference);
  if (bad) return bad;
  const all = light.flux.reduce((sum, flux) => sum + Math.max(0, flux), 0);
  return light.flux[lit]! < TUNING.singleShare * all ? 'other tubes lit' : null;
}
