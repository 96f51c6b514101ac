/** Direction as the tangent of the angle from the array's normal, towards the scene. */
export interface Slopes {
  readonly across: number;
  readonly up: number;
}
