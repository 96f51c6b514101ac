/** Strength of the smoothness term; larger is smoother. Chosen by trial on simulated cameras. */
const STRENGTH = 1e-5;
/** Keeps code 0 on the logarithmic axis. */
const AXIS_OFFSET = 2;

/**
 * Adds λ ∫ (d²g/du²)² du to a normal matrix, g being one unknown for each code and u = ln(code + 2).
 *
 * @param normal - codes × codes, row-major; changed in place
 */
export function addSmoothness(normal: Float64Array, codes: number): void {
  const axis = Float64Array.from({ length: codes }, (_, code) => Math.log(code + AXIS_OFFSET));
  for (let code = 1; code < codes - 1; code++) {
    const before = axis[code] - axis[code - 1];
    const after = axis[code + 1] - axis[code];
    const secondDerivative = [
      2 / (before * (before + after)),
      -2 / (before * after),
      2 / (after * (before + after)),
    ];
    secondDerivative.forEach((left, a) => {
      secondDerivative.forEach((right, b) => {
        normal[(code - 1 + a) * codes + (code - 1 + b)] += STRENGTH * before * left * right;
      });
    });
  }
}
