/** Light of the N cells of one shot with their places in pitches; across to the right, up upwards. */
export interface CellsLit {
  readonly across: Float64Array;
  readonly up: Float64Array;
  readonly light: Float64Array;
  readonly noise: Float64Array;
  /** 1 where the cell can be trusted. */
  readonly usable: Uint8Array;
  /** Cells about each cell, itself included, to smooth over. */
  readonly near: readonly (readonly number[])[];
}

/** Where the light of one lamp or of two lies among the cells. Places and widths in pitches. */
export interface Spots {
  /** Middle of the light, or between the two images. */
  readonly across: number;
  readonly up: number;
  readonly placeSigma: number;
  /** From one image to the other; null for one lamp. Which of the two is the first is arbitrary. */
  readonly apart: { readonly across: number; readonly up: number; readonly sigma: number } | null;
  /** Logarithm of an image's width (standard deviation of a Gaussian), and its uncertainty. */
  readonly widthLn: number;
  readonly widthLnSigma: number;
  /** Logarithm of an image's peak, and its uncertainty. */
  readonly peakLn: number;
  readonly peakLnSigma: number;
  /** Share of the light's variance from cell to cell that the fit explains. */
  readonly explained: number;
  /** An image's width over half the array's smaller side: from some 0.9 on, what a fit tells hangs on the shape of the profile. */
  readonly widthShare: number;
  /** How far the tubes that see it lean to one side of its middle, widths: 0 amid the array, 0.8 where the array ends at its middle. */
  readonly leaning: number;
}

/** What a fit gave, before it is asked where in the array it lies. */
export type FittedSpots = Omit<Spots, 'leaning'>;
