import type { OpenSurvey } from '@twolamp/cells';
import type { Glance } from '@twolamp/photos/browser';

/** What has been learned from a bench's photos; kept beside them, so that they needn't be measured again. Plain data. */
export interface Learned {
  readonly survey: OpenSurvey;
  /** The look of each photo, by its name in the folder. */
  readonly looks: Map<string, Glance>;
  /** Even shots from elsewhere than the first one; missing in what earlier versions kept. */
  moved?: Set<string>;
}
