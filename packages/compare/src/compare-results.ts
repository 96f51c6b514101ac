import {
  COMPARISON_FORMAT,
  type Comparison,
  type Note,
  type Result,
  type TubeChange,
} from '@twolamp/session';
import { crosstalkNotes } from './crosstalk-change.js';
import { FALSE_DISCOVERY_RATE } from './false-discovery-rate.js';
import { lightChanges } from './light-change.js';
import { type MatchedTube, matchTubes } from './matched-tubes.js';
import { pointingChanges } from './pointing-change.js';
import { pointingSpreadNotes } from './pointing-spread.js';
import { resolvingChange } from './resolving-change.js';
import { tubeVerdict } from './tube-verdict.js';
import { wholeFaults, wholeLight } from './whole-arrays.js';

type Part = Pick<Comparison, 'scale' | 'tubes'> & { readonly notes: readonly Note[] };

function tubeByTube(tubes: readonly MatchedTube[], earlier: Result['array'], later: Result['array']): Part {
  const sameBore = earlier.tubeBoreMm === later.tubeBoreMm && earlier.backPitchMm === later.backPitchMm;
  const light = lightChanges(tubes, sameBore);
  const pointing = pointingChanges(tubes, later);
  let unclear = 0;
  const changes = tubes.map((tube, index): TubeChange => {
    const figures = { transmission: light.changes[index]!, pointing: pointing.changes[index]! };
    const judgement = tubeVerdict(figures, tube);
    if (judgement.unclear) unclear++;
    return {
      row: tube.row,
      column: tube.column,
      ...figures,
      faultEarlier: tube.earlier.fault,
      faultLater: tube.later.fault,
      verdict: judgement.verdict,
    };
  });
  const says =
    `${unclear} tubes are faulty in one session only without a change that shows: the fault lies at the threshold of ` +
    'naming it, or one session had no shots to find it. They count as unchanged.';
  const notes = unclear === 0 ? [] : [{ about: 'tubes', says }];
  return { scale: light.scale, tubes: changes, notes: [...light.notes, ...pointing.notes, ...notes] };
}

function asWholes(earlier: Result, later: Result): Part {
  const { scale, notes } = wholeLight(earlier, later);
  return { scale, tubes: [], notes: [...notes, ...wholeFaults(earlier, later)] };
}

/**
 * Holds a later result against an earlier one: tube by tube where both arrays are laid out alike, and as wholes.
 *
 * Changes are later − earlier. Light is on a common scale in units of the earlier session's typical tube, see `lightChanges`;
 * pointing is against what all tubes have in common, see `pointingChanges`; verdicts are defined in `tubeVerdict`. Significance of light
 * and of pointing is judged by Benjamini–Hochberg each at a false discovery rate of 0.01. Figures that the sessions can't give
 * are null, and a note says why; the differences of crosstalk and of the tubes' alignment are in notes.
 *
 * @throws InputError where a result doesn't list each of its tubes once
 */
export function compareResults(earlier: Result, later: Result): Comparison {
  const { tubes, notes } = matchTubes(earlier, later);
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
    notes: [
      ...notes,
      ...part.notes,
      ...pointingSpreadNotes(earlier, later),
      ...fineness.notes,
      ...crosstalkNotes(earlier, later),
    ],
  };
}
