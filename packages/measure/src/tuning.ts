/**
 * Requirement. Share of chance among the tubes that one test calls faulty or leaky, over the whole array: the goal of
 * at most 0.5 % false alarms among healthy tubes (see bench/accuracy.md). Each test (light, direction, leaks) is held
 * to it by Benjamini and Hochberg's procedure.
 */
export const FALSE_DISCOVERY_RATE = 0.005;
