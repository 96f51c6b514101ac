import { effectiveFNumber } from '@twolamp/optics';
import type { CellResult, Result } from './result-format.js';

/** A figure of the array's typical tube. */
export interface TypicalFigure {
  readonly value: number;
  /** Standard; null where it is not known. */
  readonly uncertainty: number | null;
}

/** Absolute transmission of a typical tube; null where it was not measured. */
export function typicalAbsolute({ cells }: Pick<Result, 'cells'>): TypicalFigure | null {
  const typical: number[] = [];
  const relativeUncertainties: number[] = [];
  for (const { fault, transmission } of cells) {
    const { relative, absolute, absoluteUncertainty } = transmission;
    if (fault !== 'none' || absolute === null || relative === null || !(absolute > 0 && relative > 0))
      continue;
    typical.push(absolute / relative);
    if (absoluteUncertainty !== null) relativeUncertainties.push(absoluteUncertainty / absolute);
  }
  if (typical.length === 0) return null;
  const value = middleOf(typical);
  // What tubes share (the bare shot, the exposures) makes up most of it, so that many tubes don't lessen it.
  return {
    value,
    uncertainty: relativeUncertainties.length === 0 ? null : value * middleOf(relativeUncertainties),
  };
}

/**
 * F-number of the lens behind which a sheet would be as bright as in a typical tube's spot; null without a bare shot, or
 * where the tube seems to pass more than all the light.
 */
export function typicalFNumber(result: Pick<Result, 'cells'>): TypicalFigure | null {
  const absolute = typicalAbsolute(result);
  if (absolute === null || absolute.value >= 1) return null;
  const { sine } = effectiveFNumber(absolute.value);
  const share = absolute.uncertainty === null ? null : absolute.uncertainty / absolute.value;
  // Light goes with one over the f-number's square.
  return { value: sine, uncertainty: share === null ? null : (sine * share) / 2 };
}

/**
 * How wide a typical tube sees a far lamp, full width at half maximum: the median of the healthy tubes, or of all where
 * no healthy one is known; null without a sweep.
 */
export function typicalWidthDeg({ cells }: Pick<Result, 'cells'>): number | null {
  const widths = (some: readonly CellResult[]) =>
    some.flatMap(({ pointing }) => pointing?.acceptanceWidthDeg ?? []);
  const healthy = widths(cells.filter(({ fault }) => fault === 'none'));
  const known = healthy.length > 0 ? healthy : widths(cells);
  return known.length > 0 ? middleOf(known) : null;
}

/** The median: of an even count, the mean of the middle two. */
function middleOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return (sorted[Math.ceil(half) - 1]! + sorted[Math.floor(half)]!) / 2;
}
