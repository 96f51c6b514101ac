import type { NextDistance } from '@twolamp/plan';
import type { LiveFigures } from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';

/** Everything that the shots so far give. Plain data. */
export interface Conclusion {
  readonly result: Result;
  readonly evidence: Evidence;
  readonly figures: LiveFigures;
  readonly headlines: readonly string[];
  /** What the session states and the photos contradict, such as a wrong reading of the tape. */
  readonly doubts: readonly string[];
  readonly next: NextDistance;
}

/** Called along the way: how many photos are done, of how many, and which comes next. */
export type Told = (done: number, of: number, what: string) => void;
