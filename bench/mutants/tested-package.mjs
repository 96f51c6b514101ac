/** Package whose code is mutated, from the environment. */
export const tested = process.env.TWOLAMP_PACKAGE ?? 'numeric';
