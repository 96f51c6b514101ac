import { counted, decimal, listed, ratioPlusMinus } from '../quantity.js';
import { degrees, metres, percent, type WordsOf } from './words-of.js';

interface Crossing {
  readonly shotM: number;
  readonly crossingM: number;
  readonly lowM: number;
  readonly highM: number;
}

function extrapolated({ crossingM, lowM, highM }: Crossing): string {
  return (
    'Extrapolated, the dip curve crosses the criterion at about ' +
    `${metres(crossingM)} (95\u00a0% interval ${metres(lowM)} to ${metres(highM)}).`
  );
}

export const PAIRS_WORDS: WordsOf<'pairs'> = {
  'no-pairs': ({ distancesWanted }) =>
    `There are no pair shots. The resolving distance needs them from at least ${distancesWanted} distances.`,
  'pair-images-wide': ({ photos }) =>
    `The lamps’ images are about as wide as the array in ${listed(photos)}. Such photos hardly show whether distance and spacing are right.`,
  'distances-rest-on-tape': ({ shorterShare, longerShare, fromSheet, tubeLengthMm }) =>
    `The photos alone would not show it if all distances were up to ${percent(shorterShare)} shorter or ${percent(longerShare)} longer than stated` +
    (fromSheet
      ? `, nor if they had been measured from the sheet, ${decimal(tubeLengthMm, 0)}\u00a0mm too long.`
      : '. They would show distances measured from the sheet.') +
    ' Measure one distance again from the tubes’ front ends.',
  'response-from-pairs': ({ lampsWanted }) =>
    `There are fewer than ${lampsWanted} lamp shots, so the image of a single lamp was fitted to the pair shots themselves.`,
  'response-not-converged': () =>
    'The fit of a single lamp’s image stopped before it converged. Dips and the resolving distance may be off.',
  'pair-unreadable': (_, photo) => `${photo}: too few cells show the lamps’ light to judge this shot.`,
  'pair-at-criterion': ({ dip, dipUncertainty, requiredDip }, photo) =>
    `${photo}: the dip, ${ratioPlusMinus(dip, dipUncertainty)}, is too close to the required ${requiredDip} to decide.`,
  'pair-like-one-lamp': (_, photo) => `${photo}: a single lamp would explain this shot as well as two.`,
  'dip-readings-differ': ({ photos, distanceM, modelDip, plainDip, uncertainty }) =>
    `At ${metres(distanceM)} (${listed(photos)}) the cells’ light itself shows a dip of ${ratioPlusMinus(plainDip, uncertainty)}, the model ` +
    `${decimal(modelDip, 2)}. Tubes there see differently from the rest, or the photos are not what the session states.`,
  'resolving-readings-differ': ({ modelM, plainM, uncertaintyM }) =>
    `A plain curve through the dips crosses the criterion at ${metres(plainM)}, the model at ${metres(modelM)}: they differ by more than ` +
    `their uncertainty of ${metres(uncertaintyM)}. Take the resolving distance with care, and shoot more pairs about there.`,
  'no-crossing': () =>
    'There is no resolving distance: no pair shot could be read, or the dip never reaches the criterion.',
  'no-prediction': () =>
    'Theory predicts no resolving distance: for lamps this far apart the dip never crosses the criterion.',
  'lamps-off-stated-places': ({ acrossDeg, upDeg }) =>
    `In all shots the lamps appear ${degrees(Math.abs(acrossDeg))} too far ${acrossDeg > 0 ? 'right' : 'left'} and ` +
    `${degrees(Math.abs(upDeg))} too far ${upDeg > 0 ? 'up' : 'down'} for their stated places. This was corrected.`,
  'separate-at-all-distances': (crossing) =>
    `The lamps are separate at every distance shot. ${extrapolated(crossing)} Shoot pairs beyond ${metres(crossing.shotM)}.`,
  'separate-at-no-distance': (crossing) =>
    `The lamps are separate at no distance shot. ${extrapolated(crossing)} Shoot pairs nearer than ${metres(crossing.shotM)}.`,
  'few-distances': ({ distances, wanted }) =>
    `There are pair shots from ${counted(distances, 'distance')} only; ${wanted} or more make the resolving distance more certain.`,
  'cells-undersample': ({ separate, pairs }) =>
    'The image of one lamp is hardly wider than one cell. A lamp can fall into a gap between the tubes’ views, so ' +
    `whether two are separate depends on where they lie: ${separate} of ${counted(pairs, 'pair shot')} are separate.`,
};
