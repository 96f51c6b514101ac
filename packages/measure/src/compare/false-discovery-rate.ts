/** Expected share of chance among the changes that are called significant. */
export const FALSE_DISCOVERY_RATE = 0.05;
