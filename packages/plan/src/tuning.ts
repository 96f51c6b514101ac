/**
 * Share of the field whose thirds a sweep of three by three places takes the middles of. Tuned on arrays 0 to 14 of bench/lamps: nearer
 * together, the places tell fewer directions in glossy arrays; farther apart, in matte ones. Moves how many bent and misaimed
 * tubes a short evening finds.
 */
export const FEW_LAMPS_SHARE = 0.7;

/**
 * Lamps of a triangle stand this far from its middle, a share of the slope bore ÷ length at which a black tube goes dark. Tuned on arrays 34, 35,
 * 38, 39 and 42 of bench/lamps: at 0.35, 0.5 and 0.7, 10, 16 and 20 of the bent and misaimed tubes are found, and 95 % intervals hold 85, 95 and 98 %
 * of directions.
 */
export const GROUP_RADIUS = 0.7;

/** Judgement. The triangles' middles, shares of half the field. */
export const GROUP_MIDDLES = [
  { across: -0.45, up: 0.4 },
  { across: 0.45, up: 0.4 },
  { across: 0, up: -0.4 },
] as const;
