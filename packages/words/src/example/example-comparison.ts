import {
  COMPARISON_FORMAT,
  type Comparison,
  finding,
  type Result,
  reason,
  type TubeChange,
} from '@twolamp/session';
import { exampleResult } from './example-result.js';

const MENDED = new Set(['3/17', '3/18', '11/6', '7/22', '16/13', '22/4']);

/** The made-up array before some tubes were mended: as {@link exampleResult}, with one tube healthy that is weak there. */
export function exampleComparison(): { comparison: Comparison; earlier: Result; later: Result } {
  const earlier = exampleResult();
  const later: Result = {
    ...earlier,
    array: { ...earlier.array, name: 'Willow screen, third build' },
    cells: earlier.cells.map((cell) => {
      const place = `${cell.row}/${cell.column}`;
      if (MENDED.has(place))
        return {
          ...cell,
          fault: 'none',
          reasons: [],
          seen: true,
          transmission: { ...cell.transmission, relative: 0.99 },
        };
      if (place === '15/15')
        return {
          ...cell,
          fault: 'weak',
          reasons: [reason('dim', { share: 0.6, pointing: 'where it should' })],
          transmission: { ...cell.transmission, relative: 0.6 },
        };
      return {
        ...cell,
        transmission: { ...cell.transmission, relative: cell.transmission.relative! * 1.004 },
      };
    }),
    pairs: earlier.pairs.map((pair) => ({ ...pair, dip: Math.min(1, pair.dip! + 0.05) })),
    resolving: { ...earlier.resolving!, distanceM: earlier.resolving!.distanceM + 0.16 },
  };
  const tubes = earlier.cells.map((before, i): TubeChange => {
    const after = later.cells[i]!;
    const change = after.transmission.relative! - before.transmission.relative!;
    const significant = Math.abs(change) > 0.03;
    const verdict =
      before.fault === 'none' && after.fault !== 'none'
        ? 'new fault'
        : before.fault !== 'none'
          ? after.fault === 'none'
            ? 'mended'
            : 'still faulty'
          : significant
            ? 'changed'
            : 'unchanged';
    return {
      cell: before.cell,
      row: before.row,
      column: before.column,
      transmission: {
        earlier: before.transmission.relative!,
        later: after.transmission.relative!,
        change,
        uncertainty: 0.009,
        significant,
      },
      pointing: before.pointing && {
        acrossDeg: 0.02,
        upDeg: -0.01,
        uncertaintyDeg: 0.04,
        significant: false,
      },
      faultEarlier: before.fault,
      faultLater: after.fault,
      verdict,
    };
  });
  return {
    earlier,
    later,
    comparison: {
      format: COMPARISON_FORMAT,
      earlier: earlier.array.name,
      later: later.array.name,
      scale: { later: 1.02, uncertainty: 0.003, basis: 'fitted' },
      tubes,
      resolving: {
        earlierM: earlier.resolving!.distanceM,
        laterM: later.resolving!.distanceM,
        differenceM: 0.16,
        lowM: 0.05,
        highM: 0.27,
        verdict: 'farther',
      },
      falseDiscoveryRate: 0.01,
      findings: [finding('common-light-unseen', 'scale', {})],
    },
  };
}
