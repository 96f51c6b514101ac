import type { Result } from '@twolamp/session';

/** Half width of a 95 % interval over the standard uncertainty, normal distribution. */
const NORMAL_95 = 1.96;

interface Figure {
  readonly value: number | null;
  /** By how much it may move: one standard uncertainty of what is told of the whole array, 1.96 of a single tube's or photo's. */
  readonly most: number;
}

/** Every figure and verdict of a result that rests on a measurement, by its name; what the session file states isn't one. */
function figuresOf(result: Result): { numbers: Map<string, Figure>; words: Map<string, string> } {
  const numbers = new Map<string, Figure>();
  const words = new Map<string, string>();
  type Value = number | null | undefined;
  const put = (name: string, value: Value, uncertainty: Value) =>
    numbers.set(name, { value: value ?? null, most: uncertainty ?? 0 });
  const putOne = (name: string, value: Value, uncertainty: Value) =>
    put(name, value, NORMAL_95 * (uncertainty ?? 0));
  const { resolving, wall, crosstalk } = result;
  words.set('resolving distance: bound', resolving?.bound ?? 'none');
  if (resolving?.bound === 'within') {
    const { distanceM, lowM, highM, predictedDistanceM, predictedDistanceUncertaintyM } = resolving;
    put(
      'resolving distance',
      distanceM,
      lowM === null || highM === null ? null : (highM - lowM) / 2 / NORMAL_95,
    );
    put('predicted distance', predictedDistanceM, predictedDistanceUncertaintyM);
  }
  put('gloss', wall?.gloss, wall?.uncertainty);
  put('crosstalk', crosstalk?.meanTotal, crosstalk?.meanTotalUncertainty);
  for (const { cell, fault, transmission, pointing, bend, cureShiftMm } of result.cells) {
    const of = (name: string) => `${name} of tube ${cell}`;
    words.set(of('fault'), fault);
    putOne(of('transmission'), transmission.relative, transmission.relativeUncertainty);
    putOne(of('absolute transmission'), transmission.absolute, transmission.absoluteUncertainty);
    putOne(of('direction across'), pointing?.acrossDeg, pointing?.uncertaintyDeg);
    putOne(of('direction up'), pointing?.upDeg, pointing?.uncertaintyDeg);
    putOne(of('error of direction'), pointing?.errorDeg, pointing?.errorUncertaintyDeg);
    putOne(of('acceptance width'), pointing?.acceptanceWidthDeg, pointing?.acceptanceWidthUncertaintyDeg);
    putOne(of('bow'), bend?.bowMm, bend?.uncertaintyMm);
    putOne(of('cure across'), cureShiftMm?.across, cureShiftMm?.uncertainty);
    putOne(of('cure up'), cureShiftMm?.up, cureShiftMm?.uncertainty);
  }
  for (const { photo, dip, dipUncertainty, separate } of result.pairs) {
    words.set(`verdict on ${photo}`, String(separate));
    putOne(`dip of ${photo}`, dip, dipUncertainty);
  }
  for (const { cell, gain, gainUncertainty, dipGain, dipGainUncertainty } of result.pull) {
    putOne(`gain of tube ${cell}`, gain, gainUncertainty);
    putOne(`gain in dip of tube ${cell}`, dipGain, dipGainUncertainty);
  }
  for (const {
    tubes,
    light,
    lightUncertainty,
    dip,
    dipUncertainty,
    fartherM,
    fartherUncertaintyM,
  } of result.repairs ?? []) {
    put(`light of ${tubes} repairs`, light, lightUncertainty);
    put(`dip of ${tubes} repairs`, dip, dipUncertainty);
    put(`distance won by ${tubes} repairs`, fartherM, fartherUncertaintyM);
  }
  return { numbers, words };
}

function hasMoved(right: Figure | undefined, wrong: Figure | undefined): boolean {
  const [from, to] = [right?.value ?? null, wrong?.value ?? null];
  if (from === null || to === null) return from !== to;
  return Math.abs(to - from) > (wrong?.most ?? 0);
}

/**
 * Figures and verdicts that a mistake in the session file moves. Words move when they differ: faults, verdicts on photos, on which
 * side of the distances shot the resolving distance lies. Numbers move by more than the uncertainty that the mistaken
 * session states: one standard uncertainty for what is told of the whole array (distances, gloss, crosstalk, what repairs
 * bring), 1.96 for single tubes' and photos' figures. A figure that comes or goes has moved.
 */
export function figuresMoved(right: Result, wrong: Result): string[] {
  const [before, after] = [figuresOf(right), figuresOf(wrong)];
  const names = (one: Map<string, unknown>, other: Map<string, unknown>) => [
    ...new Set([...one.keys(), ...other.keys()]),
  ];
  return [
    ...names(before.words, after.words).filter((name) => before.words.get(name) !== after.words.get(name)),
    ...names(before.numbers, after.numbers).filter((name) =>
      hasMoved(before.numbers.get(name), after.numbers.get(name)),
    ),
  ];
}
