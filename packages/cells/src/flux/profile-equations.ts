import { solvePositive } from '@twolamp/numeric';
import { Matrix } from 'ml-matrix';
import { KNOTS, knotSquare, REACH } from './spot-profile.js';
import { DAMPING, SMOOTHING, SOFT_RADIUS } from './tuning.js';

const BEND = [1, -2, 1];
/** Most cells whose profiles reach one pixel. */
const MAX_OVERLAP = 16;

/** Normal equations of a profile's coefficients and what else is unknown, summed pixel by pixel. */
export class ProfileEquations {
  private readonly square: Float64Array;
  private readonly side: Float64Array;
  private readonly index: Int32Array;
  private readonly value: Float64Array;
  private filled = 0;
  private readonly size: number;

  /**
   * @param harmonics - of the profile: 1 for a round one
   * @param others - unknowns after the profile's coefficients
   */
  constructor(
    private readonly harmonics: number,
    others: number,
  ) {
    this.size = harmonics * KNOTS + others;
    this.square = new Float64Array(this.size * this.size);
    this.side = new Float64Array(this.size);
    const most = 4 * harmonics * MAX_OVERLAP + others;
    this.index = new Int32Array(most);
    this.value = new Float64Array(most);
  }

  /** One term of the pixel at hand. */
  term(unknown: number, value: number): void {
    this.index[this.filled] = unknown;
    this.value[this.filled++] = value;
  }

  /** Ends the pixel: its terms should add up to `target`. */
  close(target: number, weight: number): void {
    const { index, value, filled, square, side, size } = this;
    for (let m = 0; m < filled; m++) {
      const scaled = weight * value[m];
      side[index[m]] += scaled * target;
      const row = index[m] * size;
      // Each pair of terms once, the pair of a term with itself by half: the transpose is added at the end.
      square[row + index[m]] += 0.5 * scaled * value[m];
      for (let n = m + 1; n < filled; n++) square[row + index[n]] += scaled * value[n];
    }
    this.filled = 0;
  }

  /**
   * Solves with the splines lightly smoothed along s; coefficients are damped more strongly the farther out
   * they lie, and the last three, which reach beyond, are 0.
   *
   * @param lights - how many unknowns after the coefficients are lights, or parts of the wings: those that would come
   *   out negative are left out, as 0
   */
  solveSoftly(lights: number): Float64Array {
    const { square, side, size } = this;
    const count = this.harmonics * KNOTS;
    const block = new Matrix(size, size);
    for (let r = 0; r < size; r++) {
      for (let c = 0; c < size; c++) block.set(r, c, square[r * size + c] + square[c * size + r]);
    }
    soften(block, this.harmonics);
    const dropped = new Set<number>();
    for (;;) {
      const kept = Array.from({ length: size }, (_, r) => r).filter((r) => !dropped.has(r));
      const values = solvePositive(
        block.selection(kept, kept),
        Matrix.columnVector(kept.map((r) => side[r])),
      );
      const solved = new Float64Array(size);
      kept.forEach((r, n) => {
        solved[r] = values.get(n, 0);
      });
      let worst = count;
      for (let r = worst; r < count + lights; r++) if (solved[r] < solved[worst]) worst = r;
      if (lights === 0 || solved[worst] >= 0) return solved;
      dropped.add(worst);
    }
  }
}

function soften(block: Matrix, harmonics: number): void {
  const add = (r: number, c: number, value: number): void => {
    block.set(r, c, block.get(r, c) + value);
  };
  for (let h = 0; h < harmonics; h++) {
    const at = h * KNOTS;
    const holdBack = h === 0 ? DAMPING.round : DAMPING.other;
    let mean = 0;
    for (let knot = 0; knot < KNOTS; knot++) mean += block.get(at + knot, at + knot) / KNOTS;
    for (let knot = 0; knot < KNOTS; knot++) {
      const outside = Math.max(0, Math.sqrt(knotSquare(knot)) - SOFT_RADIUS) / (REACH - SOFT_RADIUS);
      add(at + knot, at + knot, mean * (1e-9 + holdBack * outside ** 2 + (knot >= KNOTS - 3 ? 1e6 : 0)));
      if (knot < 1 || knot > KNOTS - 2) continue;
      BEND.forEach((a, m) => {
        BEND.forEach((b, n) => {
          add(at + knot - 1 + m, at + knot - 1 + n, mean * SMOOTHING * (a * b));
        });
      });
    }
  }
  for (let r = harmonics * KNOTS; r < block.rows; r++) add(r, r, 1e-9 * block.get(r, r) + 1e-30);
}
