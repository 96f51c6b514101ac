import type { OpenSurvey } from '@twolamp/cells';
import type { Glance } from '@twolamp/photos/browser';
import type { NextDistance } from '@twolamp/plan';
import type { LiveFigures } from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';

/** What has been learned from a bench's photos; kept beside them, so that they needn't be measured again. Plain data. */
export interface Learned {
  readonly survey: OpenSurvey;
  /** The look of each photo, by its name in the folder. */
  readonly looks: Map<string, Glance>;
}

/** Everything that the shots so far give. Plain data. */
export interface Conclusion {
  readonly result: Result;
  readonly evidence: Evidence;
  readonly figures: LiveFigures;
  readonly headlines: readonly string[];
  readonly next: NextDistance;
}

/** Called along the way: how many photos are done, of how many, and which comes next. */
export type Told = (done: number, of: number, what: string) => void;
