/*
 * From when on a photo is not what its shot says. Tuned on the demo, on simulated panels of 6 × 8 tubes, and on the sessions 301 to 304 of the accuracy bench's short form.
 * bench/fuzz/fuzz.md says on which others it was judged. In the tuning sessions, first even shots have a range of 0.8 and
 * more, and lamp shots in their place 0.02 and less; the other numbers stand between right photos and wrong ones as well, but
 * how far from either was not measured. The four about noise against light were held against the demo and sessions of the fuzz
 * and accuracy benches: even shots have 1.9 to 5.9 times the least noise there. Not judged on the second renderer.
 */

export const TUNING = {
  /** A photo without any noise is no photo where it is brighter than this; black stays black on any camera. */
  blackLight: 0.004,
  /** Pixel noise against that of the even shot at the same light: more is no picture of this sheet by this camera. */
  noiseRatio: 4,
  /** Noise that no camera gets below: rounding to 8 bits and compression, full scales. */
  leastNoise: 0.002,
  /** Brightest 3 × 3 pixels of a cell in a dark shot above its gaps, full scales and a pixel's noise: a tube that is lit. */
  darkSpeck: 0.02,
  darkSpeckSigmas: 6,
  /**
   * The same over the light around it: rounding and compression hide the noise of bright stray light. On sessions 503 to 530 of
   * bench/peers (preset judged) dark shots have up to 0.11.
   */
  darkSpeckShare: 0.2,
  /** Light of a spot from which its noise is asked for, full scales: rounding to 8 bits hides it below. */
  noiseLight: 0.1,
  /** Noise over the least photon noise, below which frames were merged or noise was smoothed away. */
  noiseShare: 0.9,
  /** Electrons that fill a pixel's scale at ISO 100 on the largest sensors; phones have a tenth. Common practice, no source. */
  mostElectrons: 100_000,
  /** Gaps of a dark shot over spots, and over gaps, of the even shot, per exposure: stray light stays below one of them. */
  darkLevel: 0.25,
  strayLevel: 1.15,
  /** Contrast of spot and gap, over the even shot's: a bare sheet has less, a lit array more. */
  bareContrast: 0.2,
  litContrast: 0.35,
  /** Brightest 3 × 3 pixels of a cell in a bare sheet above its gaps, over the sheet's light: a single tube that is lit. */
  bareSpeck: 0.5,
  /**
   * Dimmest over brightest place of a bare sheet, and of the first even shot's smooth light: vignetting and uneven light stay above;
   * a lamp's falls off to a fiftieth and less.
   */
  evenRange: 0.12,
  /** Lit cells below which that is not asked. */
  leastLit: 12,
  /** Scatter of a bare sheet about a smooth surface: clouds of paper stay below. */
  bareRoughness: 0.12,
  /** Scatter of the cells' light against the reference even shot's, relative. */
  evenScatter: 0.35,
  /**
   * The same, and over their noise, from which on a finding tells that two even shots are lit unlike. On 25 panels of bench/fuzz, three
   * sessions of bench/peers (preset pairs) and two of bench/accuracy right ones have 0.0005 to 0.03, which is their noise.
   */
  evenUnlike: 0.05,
  evenUnlikeNoise: 3,
  /**
   * Light of the brightest tube over that of the brightest hole without a tube, below which a lamp lights holes alone. Of 63 lamps before 50 × 60
   * places, 58 % of them filled, 18 before holes have up to 0.012, all others 0.15 and more.
   */
  besideHoles: 0.03,
  /** Light of the brightest cell in standard deviations, and over the median in the even shot: below, nothing is lit. */
  litSigmas: 6,
  litShare: 0.003,
  /** Darker than its background is a cell by so many standard deviations and such a share of the brightest cell's light. */
  negativeSigmas: 5,
  negativeLight: 0.1,
  /** Share of cells that may be so. */
  negativeShare: 0.1,
  /**
   * Contrast of the brightest cells and the dimmest tenth in a lamp's or a pair's light against an even shot's: below it,
   * and below so much of what tubes with black walls have, the front is lit evenly. On panels 51002 to 51021 of
   * bench/fuzz, whose walls are black, even light has 0.06 and less, lamps and pairs 0.68 and more; far pairs through glossy
   * tubes of bench/peers have less than 0.25 (three of test/second-renderer.test.ts).
   */
  unevenContrast: 0.12,
  unevenShare: 0.15,
  /** Transmission of tubes with black walls for a lamp as stated: where none has more, none need be lit. */
  unlitTransmission: 0.02,
  /**
   * Stray light: so many photos agree in it for their exposure, relative standard deviation, while their cells' light
   * differs by such a factor; and a dark shot departs from it by such a share. Tuned on panels 51011 to 51016 of
   * bench/fuzz, where photos agree within 0.01.
   */
  strayPhotos: 5,
  strayScatter: 0.1,
  strayContrast: 2,
  strayDeparture: 0.15,
  /** Stray light over the light of the even shot's spots, from which on a finding says so. Judgement. */
  strayStrong: 0.5,
  /** Light of a bare sheet over what its photo has with the dark shot's light in it: less is no light. */
  bareOverDark: 0.1,
  /** Share of all light of a single shot that leaves by the tube that is lit. */
  singleShare: 0.25,
  /**
   * Spots above gaps for their exposure, against the even shot's, below which a photo shows nothing but noise. In the accuracy
   * bench's sessions 125 to 245 a corner lamp before blocked tubes has up to 0.033; a picture of something else has far more.
   */
  unlitShare: 0.06,
  /** Light of a tube in the even shot, against the median tube's, below which its photo alone may show nothing. Judgement. */
  blockedShare: 0.1,
  /** Spots that show how wide a bore is: so many of those with so much of a typical one's light. */
  boreSpots: 200,
  boreSpotShare: 0.5,
  /**
   * Relative departure of a spot's width from the stated bore that is said, and standard uncertainty of the bore that it shows. Spots
   * are 0.92 to 1.04 of it in the demo, 8 sessions of the second renderer (judged, 1200 to 1207), 2 of its harsh ones, 6 of the
   * accuracy bench (500 to 505) and 8 panels of bench/fuzz.
   */
  boreDeparture: 0.15,
  boreUncertainty: 0.04,
} as const;
