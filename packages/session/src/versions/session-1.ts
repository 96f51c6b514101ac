import { SESSION_FORMAT } from '../session-format.js';

const SESSION_FORMAT_1 = 'twolamp-session/1';

/** A session of version 1 as one of version 2, which only adds fields. Other data is returned as it is. */
export function upgradeSession1(data: unknown): unknown {
  return typeof data === 'object' && data !== null && 'format' in data && data.format === SESSION_FORMAT_1
    ? { ...data, format: SESSION_FORMAT }
    : data;
}
