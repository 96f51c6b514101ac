import { z } from 'zod';

const mark = z.literal(true).optional();

/** Of a figure that rests on a statement which the photos contradict. */
export const doubtfulFigure = mark.describe(
  'present where it rests on something that a finding doubts, one whose code begins with doubt-',
);

/** Of a file made from results. */
export const doubtfulSource = mark.describe(
  'present where a result that it was made from is doubtful, since its session states what its photos contradict',
);
