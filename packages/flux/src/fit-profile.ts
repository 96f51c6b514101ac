import { thin } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import { type BackgroundPlane, planeLightAt } from './background-plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { ProfileEquations } from './profile-equations.js';
import { COEFFICIENTS, KNOTS, normalised, ProfileBasis, REACH, type SpotProfile } from './spot-profile.js';
import { type CoarseLight, lightAt } from './wings.js';

/** Limit of computing time: more cells change a profile by less than its noise. */
const MOST_REFERENCES = 200;

const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** A picture of cells whose lights are known, from which shapes are learned. */
export interface FitInput {
  readonly picture: Plane;
  readonly background: BackgroundPlane;
  /** The wings, where it is known; null where it is to be learned. */
  readonly wings: CoarseLight | null;
  /** 1/variance of each pixel. */
  readonly weights: Float32Array;
  readonly cells: CellsOnPicture;
  readonly flux: Float64Array;
  /** Cells whose profile overlaps a cell's. */
  readonly neighboursOf: readonly (readonly number[])[];
}

/** What is learned along with the profile where the background isn't known yet. */
export interface UnknownBackground {
  /** The wings's parts for the input's lights. */
  readonly parts: readonly CoarseLight[];
  /** Pixels that no profile reaches: there the background lies bare. */
  readonly bare: Int32Array;
}

export interface FittedProfile {
  readonly profile: SpotProfile;
  /** Light that the profile holds for a light of 1 in the input. */
  readonly integral: number;
  /** How much of each part of the wings the picture holds. */
  readonly wingAmounts: Float64Array;
}

/**
 * The profile that explains the picture best, by linear least squares over the pixels nearest to the reference cells,
 * with the light of overlapping neighbours in the model.
 *
 * Between cells, the profile's tails, the wings and the background look alike. The array's surroundings and the damping of
 * the tails separate them, so all are solved for at once.
 *
 * @param references - cells to learn from
 * @param background - what else is unknown; null where it is known
 * @param effort - how many pixels to use, picked evenly, and how many harmonics: 1 for a round profile
 */
export function fitProfile(
  input: FitInput,
  references: readonly number[],
  background: UnknownBackground | null,
  effort: { readonly pixels: number; readonly harmonics: number },
): FittedProfile {
  const { cells } = input;
  const parts = background?.parts ?? [];
  const count = effort.harmonics * KNOTS;
  const equations = new ProfileEquations(effort.harmonics, parts.length + (background ? 1 : 0));
  const chosen = references.length < 2 * MOST_REFERENCES ? references : thin(references, MOST_REFERENCES);
  const share = Math.min(1, effort.pixels / (chosen.length * (cells.unit * cells.pitchPx) ** 2));
  const gathering = new Gathering(input, background, equations, share);
  for (let n = 0; n < chosen.length; n++) gathering.takeCell(chosen[n]);
  if (background) gathering.takeBare(background.bare);

  const solved = equations.solveSoftly(parts.length);
  const coefficients = new Float64Array(COEFFICIENTS);
  coefficients.set(solved.subarray(0, count));
  const { profile, integral } = normalised({ coefficients });
  return { profile, integral, wingAmounts: solved.slice(count, count + parts.length) };
}

/** Gathers a profile's equations pixel by pixel. */
class Gathering {
  /** A golden-ratio sequence picks pixels evenly without falling into step with the lattice. */
  private phase = 0;
  private readonly places = new LocalPlaces();
  /** A cell and those that its profile overlaps. */
  private group: Int32Array = new Int32Array(0);

  /** @param share - of the pixels that are picked */
  constructor(
    private readonly input: FitInput,
    private readonly background: UnknownBackground | null,
    private readonly equations: ProfileEquations,
    private readonly share: number,
  ) {}

  /** Pixels nearest to a cell. */
  takeCell(reference: number): void {
    const { picture, cells, neighboursOf } = this.input;
    this.group = nearestFirst(cells, reference, neighboursOf[reference]);
    this.places.reserve(this.group.length);
    const reach = Math.ceil(cells.unit * cells.pitchPx);
    const [middleX, middleY] = [Math.round(cells.x[reference]), Math.round(cells.y[reference])];
    const [firstX, lastX] = [Math.max(0, middleX - reach), Math.min(picture.width - 1, middleX + reach)];
    const lastY = Math.min(picture.height - 1, middleY + reach);
    for (let y = Math.max(0, middleY - reach); y <= lastY; y++) this.takeRow(firstX, lastX, y);
  }

  private takeRow(firstX: number, lastX: number, y: number): void {
    const { group, places, equations } = this;
    const { picture, cells, flux } = this.input;
    for (let x = firstX; x <= lastX; x++) {
      const at = y * picture.width + x;
      if (!this.isPicked(at) || !places.takeNearest(cells, group, x, y)) continue;
      places.addTerms(cells, group, flux, x, y, equations);
      this.close(at, x, y);
    }
  }

  /** Pixels without any profile. */
  takeBare(bare: Int32Array): void {
    const { width } = this.input.picture;
    for (let n = 0; n < bare.length; n++) {
      const at = bare[n];
      if (this.isPicked(at)) this.close(at, at % width, Math.floor(at / width));
    }
  }

  private isPicked(at: number): boolean {
    if (!(this.input.weights[at] > 0)) return false;
    const { phase } = this;
    this.phase += phase + GOLDEN < 1 ? GOLDEN : GOLDEN - 1;
    return phase < this.share;
  }

  /** Ends a pixel's terms, the spots' before, with those of the background. */
  private close(at: number, x: number, y: number): void {
    const { equations, background } = this;
    const { picture, background: under, wings, weights } = this.input;
    if (background) {
      const { parts } = background;
      for (let n = 0; n < parts.length; n++) equations.other(n, lightAt(parts[n], x, y));
      equations.other(parts.length, 1);
    }
    const light = picture.data[at] - planeLightAt(under, picture, x, y) - (wings ? lightAt(wings, x, y) : 0);
    equations.close(light, weights[at]);
  }
}

/** A cell and those around it, the nearest first: pixels that are nearer to another cell then show it soon. */
function nearestFirst({ x, y }: CellsOnPicture, cell: number, around: readonly number[]): Int32Array {
  const distance = (other: number): number => (x[other] - x[cell]) ** 2 + (y[other] - y[cell]) ** 2;
  return Int32Array.of(cell, ...[...around].sort((a, b) => distance(a) - distance(b)));
}

/** A pixel's places in the local co-ordinates of a group of cells. */
class LocalPlaces {
  private p = new Float64Array(0);
  private q = new Float64Array(0);
  private readonly basis = new ProfileBasis();

  /** Makes room for a group of so many cells. */
  reserve(count: number): void {
    if (this.p.length >= count) return;
    this.p = new Float64Array(count);
    this.q = new Float64Array(count);
  }

  /** Works out the places; false where the pixel isn't within reach of the first cell, or nearer to another. */
  takeNearest({ x, y, toPitch }: CellsOnPicture, group: Int32Array, atX: number, atY: number): boolean {
    let own = REACH * REACH;
    for (let n = 0; n < group.length; n++) {
      const k = group[n];
      const dx = atX - x[k];
      const dy = atY - y[k];
      const p = toPitch[4 * k] * dx + toPitch[4 * k + 1] * dy;
      const q = toPitch[4 * k + 2] * dx + toPitch[4 * k + 3] * dy;
      const square = p * p + q * q;
      if (n === 0 ? square >= own : square < own) return false;
      if (n === 0) own = square;
      this.p[n] = p;
      this.q[n] = q;
    }
    return true;
  }

  /** Terms of the cells' profiles at the pixel whose places were worked out. */
  addTerms(
    cells: CellsOnPicture,
    group: Int32Array,
    flux: Float64Array,
    atX: number,
    atY: number,
    equations: ProfileEquations,
  ): void {
    const { basis } = this;
    for (let n = 0; n < group.length; n++) {
      const k = group[n];
      if (!basis.moveTo(this.p[n], this.q[n])) continue;
      const shade = 1 + cells.shade[2 * k] * (atX - cells.x[k]) + cells.shade[2 * k + 1] * (atY - cells.y[k]);
      equations.spot(basis, (shade * flux[k]) / cells.area[k]);
    }
  }
}
