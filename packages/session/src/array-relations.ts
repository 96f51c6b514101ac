/** The dimensions of an array that must fit each other, as `ArraySpec` and result.json name them. */
export interface ArrayDimensions {
  readonly kind?: 'cell-screen' | undefined;
  readonly arrangement: 'square' | 'hexagonal' | 'packed';
  readonly shiftedRows?: 'odd' | 'even' | undefined;
  /** 0 where packed. */
  readonly rows: number;
  readonly columns: number;
  readonly tubeLengthMm: number;
  readonly tubeBoreMm: number;
  readonly backPitchMm: number;
  readonly frontPitchMm: number;
  /** One line a row; absent where every place has a tube. */
  readonly map?: readonly string[] | undefined;
  /** Packed only: how many, as counted or estimated. */
  readonly tubes?: number | undefined;
}

/** A dimension that doesn't fit the others, or is met so seldom that one should look again. */
export interface Misfit {
  readonly field: keyof ArrayDimensions;
  /** What was expected, as a phrase. */
  readonly expected: string;
}

/** Grids that fan out more than this between back and front are impossible, or so rare that one asks. */
const PITCH_RATIO = { possible: 10, usual: 2.5 };
/** Angle of the outermost tubes off the normal, deg. Tubes of one length reach a flat front face only where it is small. */
const LEAN_DEG = { possible: 60, usual: 35 };
/** Bores per length: shorter ones are rings, longer ones pass no light. */
const SLENDERNESS = { least: 1, usual: [8, 300] } as const;

/** Angle of the outermost tube off the array's normal along its longer side, deg. */
function outermostLeanDeg(array: ArrayDimensions): number {
  // A packed array counts as a round one.
  const across =
    array.arrangement === 'packed' ? Math.sqrt(array.tubes ?? 1) : Math.max(array.rows, array.columns);
  const steps = (across - 1) / 2;
  const shiftMm = steps * (array.frontPitchMm - array.backPitchMm);
  return (Math.atan2(shiftMm, array.tubeLengthMm) * 180) / Math.PI;
}

const degrees = (value: number) => `${value.toFixed(0)}°`;

function pitchMisfit(array: ArrayDimensions): string | null {
  const { backPitchMm, frontPitchMm, tubeLengthMm } = array;
  const inwardsMm = backPitchMm - frontPitchMm;
  if (inwardsMm > 0) {
    const crossingM = (tubeLengthMm * frontPitchMm) / inwardsMm / 1000;
    return (
      'a front pitch equal to the back pitch (a parallel array) or larger (a diverging one): with a smaller one the tubes ' +
      `lean towards each other, their views cross ${crossingM.toPrecision(2)} m in front of the array, and beyond ` +
      'that the picture is turned over'
    );
  }
  if (frontPitchMm > PITCH_RATIO.possible * backPitchMm) {
    return `at most ${PITCH_RATIO.possible} times the back pitch, not ${(frontPitchMm / backPitchMm).toPrecision(3)} times`;
  }
  const lean = outermostLeanDeg(array);
  if (lean <= LEAN_DEG.possible) return null;
  return (
    `a front pitch at which the outermost tubes lean by at most ${degrees(LEAN_DEG.possible)}: with this one and this tube ` +
    `length they lean by ${degrees(lean)}`
  );
}

/** What is impossible about an array as a whole; its single dimensions are checked by their ranges. */
export function arrayMisfits(array: ArrayDimensions): Misfit[] {
  const misfits: Misfit[] = [];
  const refuse = (field: Misfit['field'], expected: string) => misfits.push({ field, expected });
  if (array.arrangement === 'hexagonal' && array.shiftedRows === undefined) {
    refuse('shiftedRows', 'odd or even: which rows sit half a pitch to the right');
  }
  if (array.arrangement !== 'hexagonal' && array.shiftedRows !== undefined) {
    refuse('shiftedRows', 'none: rows are shifted in hexagonal arrays only');
  }
  if (array.tubeBoreMm > array.backPitchMm) {
    refuse('tubeBoreMm', 'a bore no wider than the back pitch: the tubes would overlap');
  }
  if (array.kind === undefined && array.tubeLengthMm <= SLENDERNESS.least * array.tubeBoreMm) {
    refuse('tubeLengthMm', 'a tube longer than its bore is wide');
  }
  const { map, rows, columns } = array;
  if (array.arrangement === 'packed') {
    if (array.tubes === undefined) refuse('tubes', 'how many tubes there are, as counted or estimated');
    if (rows > 0) refuse('rows', 'none: packed tubes have no rows');
    if (columns > 0) refuse('columns', 'none: packed tubes have no columns');
    if (map) refuse('map', 'none: a packed array has no places without a tube');
  } else {
    if (array.tubes !== undefined) refuse('tubes', 'none: rows and columns say how many');
    if (rows === 0) refuse('rows', 'how many rows, seen from the back');
    if (columns === 0) refuse('columns', 'how many tubes in a row');
  }
  if (misfits.length > 0) return misfits;
  const odd = map?.findIndex((line) => line.length !== columns) ?? -1;
  if (map && map.length !== rows) {
    refuse('map', `${rows} lines, one for each of the stated rows, not ${map.length}`);
  } else if (map && odd >= 0) {
    refuse(
      'map',
      `${columns} characters a line, one for each of the stated columns; line ${odd + 1} has ${map[odd]?.length}`,
    );
  }
  const pitch = pitchMisfit(array);
  if (pitch !== null) refuse('frontPitchMm', pitch);
  return misfits;
}

/** What is possible about an array as a whole, but met so seldom that one should look again. */
export function unusualProportions(array: ArrayDimensions): Misfit[] {
  const unusual: Misfit[] = [];
  const bores = array.tubeLengthMm / array.tubeBoreMm;
  const [fewest, most] = SLENDERNESS.usual;
  if (array.kind === undefined && (bores < fewest || bores > most)) {
    unusual.push({
      field: 'tubeLengthMm',
      expected: `usually ${fewest} to ${most} bores; this is ${bores.toPrecision(3)}`,
    });
  }
  const ratio = array.frontPitchMm / array.backPitchMm;
  const lean = outermostLeanDeg(array);
  if (ratio > PITCH_RATIO.usual || lean > LEAN_DEG.usual) {
    unusual.push({
      field: 'frontPitchMm',
      expected:
        `usually up to ${PITCH_RATIO.usual} back pitches and a lean of the outermost tubes up to ${degrees(LEAN_DEG.usual)}; ` +
        `this is ${ratio.toPrecision(3)} back pitches and ${degrees(lean)}`,
    });
  }
  return unusual;
}
