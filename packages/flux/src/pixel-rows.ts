import { equationsOf, type NormalEquations } from '@twolamp/numeric';

/** Pixels of one cell as rows of a least squares: gathered first and summed afterwards, four at a time. */
export class PixelRows {
  /** Row of the n-th pixel from `size · n` on. */
  readonly rows: Float64Array;
  private readonly weights: Float64Array;
  private readonly targets: Float64Array;
  private count = 0;

  /**
   * @param size - unknowns
   * @param most - pixels at most
   */
  constructor(
    private readonly size: number,
    most: number,
  ) {
    this.rows = new Float64Array(size * most);
    this.weights = new Float64Array(most);
    this.targets = new Float64Array(most);
  }

  /** Forgets all pixels. */
  clear(): void {
    this.count = 0;
  }

  /** Where the next pixel's row goes. */
  next(): number {
    return this.size * this.count;
  }

  /** Takes in the row that was written there. */
  close(weight: number, target: number): void {
    this.weights[this.count] = weight;
    this.targets[this.count] = target;
    this.count++;
  }

  /** Their normal equations. */
  equations(): NormalEquations {
    const { rows, size, weights, targets, count } = this;
    return equationsOf(rows, size, weights.subarray(0, count), targets.subarray(0, count));
  }
}
