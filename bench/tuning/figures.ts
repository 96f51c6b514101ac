import type { Result } from '@twolamp/session';

/** A figure of a result with its standard uncertainty; null where it isn't known. */
interface Figure {
  readonly kind: string;
  readonly value: number | null;
  readonly sigma: number | null;
}

/** 95 % interval of a normal distribution, in standard deviations. */
const INTERVAL_SIGMAS = 2 * 1.959963984540054;

function figuresOf({ cells, pairs, resolving }: Result): Figure[] {
  const ofCells = cells.flatMap(({ transmission, pointing, bend }): Figure[] => [
    { kind: 'relative transmission', value: transmission.relative, sigma: transmission.relativeUncertainty },
    { kind: 'absolute transmission', value: transmission.absolute, sigma: transmission.absoluteUncertainty },
    { kind: 'pointing', value: pointing?.acrossDeg ?? null, sigma: pointing?.uncertaintyDeg ?? null },
    { kind: 'pointing', value: pointing?.upDeg ?? null, sigma: pointing?.uncertaintyDeg ?? null },
    { kind: 'bow', value: bend?.bowMm ?? null, sigma: bend?.uncertaintyMm ?? null },
  ]);
  const ofPairs = pairs.flatMap((pair): Figure[] => [
    { kind: 'dip', value: pair.dip, sigma: pair.dipUncertainty },
    { kind: 'separation', value: pair.separationCells, sigma: pair.separationUncertainty },
  ]);
  const interval = resolving && resolving.lowM !== null && resolving.highM !== null;
  return [
    ...ofCells,
    ...ofPairs,
    {
      kind: 'resolving distance',
      value: resolving?.distanceM ?? null,
      sigma: interval ? (resolving.highM! - resolving.lowM!) / INTERVAL_SIGMAS : null,
    },
  ];
}

/** What a changed number moves. */
export interface Move {
  /** Largest change of a figure, in its standard uncertainties, and which kind of figure that is. */
  readonly most: number;
  readonly kind: string;
  /** Largest change of a standard uncertainty, a factor of 1 or more, and of which kind of figure. */
  readonly uncertainty: number;
  readonly uncertaintyKind: string;
  /** Figures that came or went. */
  readonly known: number;
  /** Tubes with another fault. */
  readonly faults: number;
}

/** Compares results of the same sessions, before and after. */
export function moveBetween(before: readonly Result[], after: readonly Result[]): Move {
  let move: Move = { most: 0, kind: '', uncertainty: 1, uncertaintyKind: '', known: 0, faults: 0 };
  before.forEach((result, n) => {
    const then = figuresOf(after[n]);
    figuresOf(result).forEach(({ kind, value, sigma }, i) => {
      if ((value === null) !== (then[i].value === null)) move = { ...move, known: move.known + 1 };
      if (value === null || then[i].value === null || !sigma || !then[i].sigma) return;
      const most = Math.abs(then[i].value - value) / sigma;
      if (most > move.most) move = { ...move, most, kind };
      const uncertainty = Math.max(then[i].sigma / sigma, sigma / then[i].sigma);
      if (uncertainty > move.uncertainty) move = { ...move, uncertainty, uncertaintyKind: kind };
    });
    const faults = result.cells.filter(({ fault }, k) => fault !== after[n].cells[k].fault).length;
    move = { ...move, faults: move.faults + faults };
  });
  return move;
}
