import { tubeAxis, tubeFront, tubeLayout } from '@twolamp/optics';
import { finding, type PreviewFinding, type Result } from '@twolamp/session';
import { fitPointingField } from '@twolamp/numeric';
import type { Sight } from './sight.js';
import type { TypicalAcceptance } from './typical-acceptance.js';

/** Where every tube looks; one entry a cell, reading order. */
export interface Sights {
  readonly asMeasured: readonly Sight[];
  /** As the tubes would look, were each a typical one in the same grids. */
  readonly typical: readonly Sight[];
  readonly findings: readonly PreviewFinding[];
}

const RAD_PER_DEG = Math.PI / 180;
const slope = (deg: number) => Math.tan(deg * RAD_PER_DEG);

/**
 * Where each tube looks as measured, and where a typical one in its place would: along the smooth field of all measured
 * tubes, or along the stated axes where too few were measured for a field.
 *
 * @param acceptance - of a typical tube: the width of those without a measured one, and what a near scene adds to widths
 */
export function sightsOf(
  { array, cells }: Result,
  { widthRad, widening }: Pick<TypicalAcceptance, 'widthRad' | 'widening'>,
): Sights {
  const stated = cells.map((_, i) => tubeAxis(array, i));
  // Of departures from the stated axes the field is smooth in row and column, in hexagonal arrays too.
  const departures = (axis: 'across' | 'up') =>
    Float64Array.from(cells, ({ pointing }, i) =>
      pointing === null ? Number.NaN : slope(pointing[`${axis}Deg`]) - stated[i][axis],
    );
  const field = fitPointingField(departures('across'), departures('up'), tubeLayout(array));
  const typicalHalf = Math.tan(widthRad / 2);

  const typical = cells.map((_, i): Sight => {
    const { acrossMm, upMm } = tubeFront(array, i);
    return {
      frontAcrossMm: acrossMm,
      frontUpMm: upMm,
      slopeAcross: stated[i].across + (field?.across[i] ?? 0),
      slopeUp: stated[i].up + (field?.up[i] ?? 0),
      halfWidth: typicalHalf,
    };
  });
  const asMeasured = cells.map(({ pointing }, i): Sight => {
    if (pointing === null) return typical[i];
    const width = pointing.acceptanceWidthDeg;
    return {
      ...typical[i],
      slopeAcross: slope(pointing.acrossDeg),
      slopeUp: slope(pointing.upDeg),
      halfWidth: width !== null && width > 0 ? slope((widening * width) / 2) : typicalHalf,
    };
  });
  const known = cells.filter(({ pointing }) => pointing !== null).length;
  return { asMeasured, typical, findings: pointingFindings(known, cells.length, field !== null) };
}

function pointingFindings(known: number, tubes: number, hasField: boolean): PreviewFinding[] {
  if (known === 0) return [finding('pointing-assumed', 'pointing', {})];
  if (!hasField) return [finding('pointing-sparse', 'pointing', { known, tubes })];
  if (known === tubes) return [];
  return [finding('pointing-filled-in', 'pointing', { unknown: tubes - known, tubes })];
}
