import { effectiveFNumber, type KnownExposure, scaledExposureS, stopsBetween } from '@twolamp/optics';
import { finding, type Preview, type PreviewFinding, type Result, typicalAbsolute } from '@twolamp/session';

/** The longest and thinnest tube that can be, 5 m of 0.1 mm, passes (r/L)² = 10⁻¹⁰. */
const LEAST_THROUGHPUT = 1e-11;

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
): { readonly exposure: Preview['exposure']; readonly findings: readonly PreviewFinding[] } {
  const measured = typicalAbsolute(result);
  if (measured !== null && measured.value > 1) {
    return { exposure: null, findings: [finding('exposures-contradict', 'exposure', {})] };
  }
  if (measured !== null && !(measured.value >= LEAST_THROUGHPUT)) {
    return { exposure: null, findings: [finding('no-light', 'exposure', {})] };
  }
  const fNumber = effectiveFNumber(measured?.value ?? predictedThroughput).sine;
  const relative = measured?.uncertainty == null ? null : measured.uncertainty / measured.value;
  const exposureS = known && scaledExposureS(known, fNumber);
  const findings: PreviewFinding[] = [];
  if (measured === null) findings.push(finding('exposure-predicted', 'exposure', {}));
  if (known !== undefined) findings.push(finding('reciprocity-left-out', 'exposure', {}));
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
    findings,
  };
}
