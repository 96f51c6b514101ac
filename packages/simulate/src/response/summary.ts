import type { Slopes } from '@twolamp/optics';

const STEPS = 80;

/**
 * Width, centre of gravity and even throughput of an acceptance.
 *
 * @param at - transmission of parallel light, by slope
 * @param reach - slope beyond which nothing passes
 * @returns even throughput: (1/π) ∫ T cos θ dΩ, in slopes (1/π) ∫ T (1 + s²)⁻² d²s
 */
export function summarise(at: (across: number, up: number) => number, reach: number) {
  const step = (2 * reach) / STEPS;
  let sum = 0;
  let flux = 0;
  let across = 0;
  let up = 0;
  let peak = { value: 0, across: 0, up: 0 };
  for (let i = 0; i < STEPS; i++) {
    for (let k = 0; k < STEPS; k++) {
      const x = -reach + (i + 0.5) * step;
      const y = -reach + (k + 0.5) * step;
      const value = at(x, y);
      if (value > peak.value) peak = { value, across: x, up: y };
      sum += value;
      across += value * x;
      up += value * y;
      flux += value / (1 + x * x + y * y) ** 2;
    }
  }
  const centre: Slopes = sum > 0 ? { across: across / sum, up: up / sum } : { across: 0, up: 0 };
  return {
    centre,
    evenThroughput: (flux * step * step) / Math.PI,
    widthRad: halfWidths((x) => at(x, peak.up), peak.across, reach),
  };
}

/** Full width at half maximum about the peak, radians. */
function halfWidths(profile: (across: number) => number, peakAt: number, reach: number): number {
  const half = profile(peakAt) / 2;
  if (half === 0) return 0;
  const edge = (outside: number) => {
    let inside = peakAt;
    let beyond = outside;
    for (let i = 0; i < 50; i++) {
      const middle = (inside + beyond) / 2;
      if (profile(middle) >= half) inside = middle;
      else beyond = middle;
    }
    return Math.atan(inside);
  };
  return edge(2 * reach) - edge(-2 * reach);
}
