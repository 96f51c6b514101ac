/**
 * Expected share of chance among the changes that are called significant, for light and for pointing.
 *
 * No more than one in twenty is promised. Held to that on the average, every second comparison would have more; at 1 %, 97 in 100
 * comparisons of 25 changed tubes keep the promise (at most one false of 26: Poisson, mean 0.26), and uncertainties that are 15 % too
 * small don't break it. It costs 0.4 standard uncertainties of reach.
 */
export const FALSE_DISCOVERY_RATE = 0.01;
