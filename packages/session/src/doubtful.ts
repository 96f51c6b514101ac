import { z } from 'zod';

const mark = z.literal(true).optional();

/** Of a figure that rests on a statement which the photos contradict. */
export const doubtfulFigure = mark.describe(
  'there where it rests on something that a finding with a code of doubt-… questions',
);

/** Of a file made from results. */
export const doubtfulSource = mark.describe(
  'there where a result that it was made from is doubtful: its session states what its photos contradict',
);
