import {
  COMPARISON_FORMAT,
  type Comparison,
  type ComparisonFinding,
  finding,
  type Result,
  type TubeChange,
} from '@twolamp/session';
import { crosstalkFindings } from './crosstalk-change.js';
import { fingerprintFindings } from './fingerprint.js';
import { FALSE_DISCOVERY_RATE } from './tuning.js';
import { lightChanges } from './light-change.js';
import { type MatchedTube, matchTubes } from './matched-tubes.js';
import { pointingChanges } from './pointing-change.js';
import { pointingSpreadFindings } from './pointing-spread.js';
import { resolvingChange } from './resolving-change.js';
import { tubeVerdict } from './tube-verdict.js';
import { wholeFaults, wholeLight } from './whole-arrays.js';

type Part = Pick<Comparison, 'scale' | 'tubes'> & { readonly findings: readonly ComparisonFinding[] };

function tubeByTube(tubes: readonly MatchedTube[], earlier: Result['array'], later: Result['array']): Part {
  const sameBore = earlier.tubeBoreMm === later.tubeBoreMm && earlier.backPitchMm === later.backPitchMm;
  const light = lightChanges(tubes, sameBore, earlier.backPitchMm);
  const pointing = pointingChanges(tubes, later);
  let unclear = 0;
  const changes = tubes.map((tube, index): TubeChange => {
    const figures = { transmission: light.changes[index]!, pointing: pointing.changes[index]! };
    const judgement = tubeVerdict(figures, tube);
    if (judgement.unclear) unclear++;
    return {
      cell: tube.later.cell,
      ...(tube.later.row === null ? { cellEarlier: tube.earlier.cell } : {}),
      row: tube.later.row,
      column: tube.later.column,
      ...figures,
      faultEarlier: tube.earlier.fault,
      faultLater: tube.later.fault,
      verdict: judgement.verdict,
    };
  });
  const findings = unclear === 0 ? [] : [finding('faults-without-change', 'tubes', { tubes: unclear })];
  return {
    scale: light.scale,
    tubes: changes,
    findings: [...light.findings, ...pointing.findings, ...findings],
  };
}

function asWholes(earlier: Result, later: Result): Part {
  const { scale, findings } = wholeLight(earlier, later);
  return { scale, tubes: [], findings: [...findings, wholeFaults(earlier, later)] };
}

/**
 * Holds a later result against an earlier one: tube by tube where both arrays are laid out alike, and as wholes.
 *
 * Changes are later − earlier. Light is on a common scale in units of the earlier session's typical tube, see `lightChanges`;
 * pointing is against what all tubes have in common, see `pointingChanges`; verdicts are defined in `tubeVerdict`. Significance of light
 * and of pointing is judged by Benjamini–Hochberg each at a false discovery rate of 0.01. Figures that the sessions can't give
 * are null, and a finding says why; the differences of crosstalk and of the tubes' alignment are findings.
 *
 * @throws InputError where a result doesn't list each of its tubes once
 */
export function compareResults(earlier: Result, later: Result): Comparison {
  const { tubes, findings } = matchTubes(earlier, later);
  const part = tubes.length > 0 ? tubeByTube(tubes, earlier.array, later.array) : asWholes(earlier, later);
  const fineness = resolvingChange(earlier.resolving, later.resolving);
  return {
    format: COMPARISON_FORMAT,
    earlier: earlier.array.name,
    later: later.array.name,
    scale: part.scale,
    tubes: part.tubes,
    resolving: fineness.resolving,
    falseDiscoveryRate: FALSE_DISCOVERY_RATE,
    findings: [
      ...findings,
      ...fingerprintFindings(later.array, tubes),
      ...part.findings,
      ...pointingSpreadFindings(earlier, later),
      ...fineness.findings,
      ...crosstalkFindings(earlier, later),
    ],
    ...(earlier.doubtful || later.doubtful ? { doubtful: true } : {}),
  };
}
