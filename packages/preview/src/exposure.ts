import { effectiveFNumber, type KnownExposure, scaledExposureS, stopsBetween } from '@twolamp/optics';
import type { Note, Preview, Result } from '@twolamp/session';
import { typicalAbsolute } from './typical-acceptance.js';

/**
 * How fast the array is: the lens that would light the sheet as brightly as a typical tube lights its spot, and a known
 * exposure scaled to it.
 *
 * @param predictedThroughput - share of even light that theory says a tube passes; used where it was not measured
 * @param known - an exposure of the same scene on the same paper or film through a lens
 */
export function previewExposure(
  result: Result,
  predictedThroughput: number,
  known: KnownExposure | undefined,
): { readonly exposure: Preview['exposure']; readonly notes: readonly Note[] } {
  const note = (says: string): Note => ({ about: 'exposure', says });
  const measured = typicalAbsolute(result);
  if (measured !== null && measured.value > 1) {
    const says =
      'tubes seem to pass more light than falls on them: the exposures of bare and even shot don’t fit';
    return { exposure: null, notes: [note(says)] };
  }
  const fNumber = effectiveFNumber(measured?.value ?? predictedThroughput).sine;
  const relative = measured?.uncertainty == null ? null : measured.uncertainty / measured.value;
  const exposureS = known && scaledExposureS(known, fNumber);
  const notes: Note[] = [];
  if (measured === null) {
    notes.push(
      note('absolute transmission was not measured (no bare shot): predicted for the tubes’ width and wall'),
    );
  }
  if (known !== undefined) {
    notes.push(
      note(
        'scaled by the f-numbers alone. Paper and film tire in long exposures (reciprocity failure), so that it takes ' +
          'more than that, and slow processes don’t scale exactly: try it on a strip first',
      ),
    );
  }
  return {
    exposure: {
      fNumber,
      // N goes with the throughput's root.
      fNumberUncertainty: relative === null ? null : (fNumber * relative) / 2,
      basis: measured === null ? 'predicted' : 'measured',
      known:
        known === undefined || exposureS === undefined
          ? null
          : {
              lensFNumber: known.fNumber,
              lensExposureS: known.exposureS,
              stops: stopsBetween(known.fNumber, fNumber),
              exposureS,
              exposureUncertaintyS: relative === null ? null : exposureS * relative,
            },
    },
    notes,
  };
}
