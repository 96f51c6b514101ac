/**
 * Light of every cell in one shot, dark frame off.
 *
 * N values, one a tube in reading order, as tubeLayout has them.
 */
export interface CellLight {
  /** Light of the cell over its whole profile, wings included; linear, in the unit the shot's scale gives. */
  readonly flux: Float64Array;
  /** Standard uncertainty of `flux`, same unit; from the noise model. */
  readonly sigma: Float64Array;
  /** 1 where the cell's light rests on clipped pixels: its flux is then a lower bound. */
  readonly clipped: Uint8Array;
}

/** One shot with the light it gave each cell; repeats of one shot kind and place are averaged already. */
export interface LitShot<S> {
  readonly shot: S;
  readonly light: CellLight;
}

/** The light of some of the cells, in the order given. */
export function lightOfCells({ flux, sigma, clipped }: CellLight, cells: readonly number[]): CellLight {
  return {
    flux: Float64Array.from(cells, (k) => flux[k]),
    sigma: Float64Array.from(cells, (k) => sigma[k]),
    clipped: Uint8Array.from(cells, (k) => clipped[k]),
  };
}
