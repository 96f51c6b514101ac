/**
 * Light of every cell in one shot, dark frame off.
 *
 * N = rows × columns values in reading order: cell (row, column) is at (row − 1) · columns + column − 1.
 */
export interface CellLight {
  /** Light of the cell over its whole footprint, halo included; linear, in the unit the shot's scale gives. */
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
