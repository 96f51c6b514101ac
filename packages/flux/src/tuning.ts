/** Following the camera's drift. Moves the lights of all cells of a shot whose camera had moved. */
export const DRIFT = {
  /** Rounds over the whole picture at most; one is typical. */
  rounds: 3,
  /** A shift is believed when it is this certain, pitches. */
  certainPitches: 0.02,
  /** Change of the shift at which the rounds end, pitches: moves a cell's light by less than a thousandth. */
  settledPitches: 0.008,
  /** Beyond this shift, in pitches, spots must look like those of the even shot, but for this share of their light. */
  oddShiftPitches: 0.1,
  unlikeSpots: 0.3,
  /** Cells with at least this share of the brightest one's light guide the shift; the brightest of them are enough. */
  guidingShare: 0.05,
  mostGuides: 400,
} as const;

/** Spots lit by lamps. Tuned on synthetic sessions with black and glossy tubes; moves directions, dips and crosstalk. */
export const LAMP_SPOTS = {
  /** Cells less clear of noise, or dimmer against the brightest one, keep the sheet's profile. */
  clearSigmas: 10,
  clearShare: 0.02,
  /** Typical size of the polynomial's terms, in the spot's own brightness: as large as a half-lit bore makes them. */
  termSigma: 0.5,
  /** Distance in pitches at which its terms come to 1, and stay so farther out: the rim of a typical bore. */
  rimPitches: 0.43,
  /** A polynomial that takes away more of the light than this is none that a spot could have. */
  mostTaken: 0.5,
  /**
   * How far the light of any cell may be off where lamps light the tubes, a share of the brightest one's: what spots lit in
   * part, and scatter, leave over.
   */
  spiltShare: 0.0008,
} as const;

/** Judgement: half a pitch on, cells would be mistaken for their neighbours. Steps each way, and reach of the search. */
export const SEARCH_STEPS = 6;
export const SEARCH_REACH_PITCHES = 0.48;

/** Judgement. Least share of the brightest cell's light in a cell that a shift is followed with. */
export const FOLLOWED_SHARE = 0.1;

/**
 * Tuned on synthetic sessions. Spots drawn apart by less than this share of their distance from the lamp's image count as
 * not drawn apart: nearly black tubes draw them apart by 0.05 and more; glossy ones by 0.01, from which uneven light within
 * a bore cannot be separated. Moves the shift of lamp shots.
 */
export const LEAST_DRAWN_APART = 0.025;

/** Judgement. Share of the typical light from which a cell's own place can be measured. */
export const BRIGHT_SHARE = 0.05;
/** Judgement. Cells outside these shares of the typical light are not used to fit the spot profile. */
export const TYPICAL_SHARES = { least: 0.3, most: 2 };
/**
 * Judgement. Share of the pixels outside the array, below which wings and background look the same: where the array
 * fills the picture, no wings are fitted. Typical photos have ten times as much.
 */
export const LEAST_BARE_SHARE = 0.02;

/** Judgement. Pixels that a round profile with its wings is fitted to. */
export const ROUND_PIXELS = 16_000;
/** Judgement. A tile with fewer typical cells takes the common profile. */
export const LEAST_REFERENCES = 15;
/** Judgement. Cells for a tile with a profile of its own. Moves the light at the corners. */
export const CELLS_PER_TILE = 120;

/**
 * Tuned on synthetic sessions. Beyond this radius, in pitches, a profile is damped towards 0, its departures from roundness most: what is left there
 * belongs to the wings. Moves the wings' share and, by it, crosstalk and absolute transmission.
 */
export const SOFT_RADIUS = 0.62;

/** Judgement. Radii in pitches of the rings of light around a tube lit alone. Moves crosstalk. */
export const RING_RADII = [0.6, 0.8, 1, 1.3, 1.8, 2.5, 3.5, 5.5] as const;

/** Judgement. Bins of modelled light for the noise's straight line, and most pixels in all. */
export const NOISE_BINS = 24;
export const MOST_NOISE_PIXELS = 30_000;
/** Judgement. The same where the noise only weights pixels against each other, to a few per cent. */
export const ROUGH_NOISE_PIXELS = 8_000;
/**
 * Judgement. Probes for an honest factor on the noise, and most cells probed, spread evenly: of a shot lit
 * evenly or through one tube, and of one lit by lamps, where other uncertainties are larger. Moves uncertainties: n cells
 * leave 0.83/√n of them uncertain.
 */
export const MOST_PROBED = { even: 1000, byLamps: 400 };

/** Common practice, no source. Healthy tubes give less than this many times what those around them give. */
export const TOO_BRIGHT = 1.25;
/** Judgement. Cells nearer than this are placed anew with a hole; of farther ones its stamp holds a rim only. */
export const NEXT_TO_HOLE_PITCHES = 1.25;

/** Slope of brightness that a lens makes, relative, a pitch: cos⁴ at 20° from the axis, the array 60° across 70 tubes. */
export const LENS_SLOPE = 0.02;

/** Judgement. Pixels count within this distance of any cell. */
export const RIM_PITCHES = 2;

/** Judgement. Pixels a pitch that are enough for the rough rounds. */
export const ROUGH_PITCH_PX = 7;
/** Rounds at most on the shrunk picture, and at least on the whole one. */
export const ROUGH_ROUNDS = 12;
export const LEAST_ROUNDS = 2;
/** Judgement. Rounds end when the lights change by no more than this, median, in their standard uncertainties. */
export const SETTLED_SIGMAS = 0.3;
/** Judgement. The same of a change that all lights have in common, as a share of them. Moves the wings' share. */
export const SETTLED_SHARE = 1e-3;
/** Judgement. Change below which the spots' stretch is fitted as well, in the same unit. */
export const VIEW_SIGMAS = 2;
/** Softness of the spot's edge at the start; the rounds forget it. */
export const START_EDGE_PITCHES = 0.08;

/**
 * When repeats of one shot disagree in a cell. Moves which cells are named as uncertain, and
 * their uncertainty. Tuned on simulated panels of 6 × 8 tubes; judged on other seeds by bench/fuzz (right sessions with
 * repeats must name none).
 */
export const REPEATS = {
  /** Difference of two repeats in its own standard uncertainties, and over the light of a bright cell. */
  apartSigmas: 8,
  apartShare: 0.08,
} as const;
