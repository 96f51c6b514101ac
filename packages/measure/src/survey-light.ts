import type { Survey } from '@twolamp/cells';
import { averageLights, type LitShot } from '@twolamp/flux';
import type { LampShot, Shot } from '@twolamp/session';
import { repeatsOf } from './repeats.js';
import { flatFieldCorrected } from './transmission/flat-field.js';
import { relativeTransmission } from './transmission/relative.js';

/** The lit shots of one kind. */
export function ofKind<K extends Shot['kind']>(
  lit: readonly LitShot<Shot>[],
  kind: K,
): LitShot<Extract<Shot, { kind: K }>>[] {
  return lit.filter((one): one is LitShot<Extract<Shot, { kind: K }>> => one.shot.kind === kind);
}

/** Lamp shots of one place together. */
export function lampRepeats(lamps: readonly LitShot<LampShot>[]): LitShot<LampShot>[][] {
  return repeatsOf(lamps, ({ acrossMm, upMm, distanceMm }) => `${acrossMm} ${upMm} ${distanceMm}`);
}

/** Lamp shots with repeats of one place averaged. */
export function lampPlaces(lamps: readonly LitShot<LampShot>[]): LitShot<LampShot>[] {
  return lampRepeats(lamps).map((group) => ({
    shot: group[0].shot,
    light: averageLights(group.map((one) => one.light)),
  }));
}

/** Mean light of the bare sheet at each cell, and its standard uncertainty. */
export interface BareSheet {
  readonly level: Float64Array;
  readonly sigma: Float64Array;
}

function meanBare({ bare }: Survey): BareSheet | null {
  if (bare.length === 0) return null;
  const cells = bare[0].level;
  return {
    level: cells.map((_, k) => bare.reduce((sum, { level }) => sum + level[k] / bare.length, 0)),
    sigma: cells.map((_, k) => Math.hypot(...bare.map(({ sigma }) => sigma[k])) / bare.length),
  };
}

/** What the even shots give of each tube: their mean light, and transmission against the tubes about. */
export function evenLight(survey: Survey) {
  const all = ofKind(survey.lit, 'even');
  const exposed = all.filter(({ shot }) => !survey.unexposed.has(shot.photo));
  const evens = exposed.length > 0 ? exposed : all;
  const even = { shot: evens[0].shot, light: averageLights(evens.map((one) => one.light)) };
  const bare = meanBare(survey);
  const { u, v } = survey;
  const flatFielded = bare ? flatFieldCorrected(even.light, bare, survey.cells, u, v) : even.light;
  const sheetScatter = bare ? 0 : survey.sheetScatter;
  return { even, bare, sheetScatter, transmission: relativeTransmission(flatFielded, u, v, sheetScatter) };
}
