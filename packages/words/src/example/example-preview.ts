import { finding, PREVIEW_FORMAT, type Preview } from '@twolamp/session';

/** A made-up preview of two tubes. */
export function examplePreview(): Preview {
  return {
    format: PREVIEW_FORMAT,
    array: 'Two tubes',
    scene: {
      photo: 'window.jpg',
      widthM: 0.6,
      heightM: 0.4,
      distanceM: 1.5,
      field: { leftM: -0.15, rightM: 0.15, bottomM: -0.25, topM: 0.1 },
    },
    tubes: [
      { cell: 1, row: 1, column: 1, asMeasured: 0.412, repaired: 0.412, perfect: 0.42 },
      { cell: 2, row: 1, column: 2, asMeasured: 0.001, repaired: 0.388, perfect: 0.388 },
    ],
    white: 0.42,
    similarity: { asMeasured: 0.786, repaired: 0.958, places: 10 },
    exposure: {
      fNumber: 28.4,
      fNumberUncertainty: 0.2,
      basis: 'measured',
      known: { lensFNumber: 8, lensExposureS: 180, stops: 3.656, exposureS: 2268, exposureUncertaintyS: 32 },
    },
    findings: [finding('reciprocity-left-out', 'exposure', {})],
  };
}
