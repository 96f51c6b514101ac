import { type Finding, isDoubt, type Result } from '@twolamp/session';
import { findingSentence, sentencesAbout } from './findings/index.js';

interface Gap {
  readonly about: string;
  readonly title: string;
  readonly isMissing: (result: Result) => boolean;
  readonly shot: string;
}

/** What a full session gives, when it is missing, and the shot that would give it. */
const GAPS: readonly Gap[] = [
  {
    about: 'resolving',
    title: 'How far two lamps stay separate',
    isMissing: (result) => result.resolving === null,
    shot: 'Pair shots from 4 or more distances would give it.',
  },
  {
    about: 'transmission.absolute',
    title: 'Absolute transmission',
    isMissing: (result) => result.cells.every((cell) => cell.transmission.absolute === null),
    shot: 'A bare shot, the sheet alone in the same even light, would give it.',
  },
  {
    about: 'pointing',
    title: 'Where each tube points, and how wide it sees',
    isMissing: (result) => result.cells.every((cell) => cell.pointing === null),
    shot: 'A sweep of one lamp over 9 or more places would give it.',
  },
  {
    about: 'crosstalk',
    title: 'Crosstalk',
    isMissing: (result) => result.crosstalk === null,
    shot: 'Single shots, one tube lit alone, would give it.',
  },
];

export interface MissingFigure {
  readonly title: string;
  readonly says: readonly string[];
}

/** Figures that the shots at hand can't give, with the result's own reasons and the shot that would help. */
export function missingFigures(result: Result): MissingFigure[] {
  return GAPS.filter((gap) => gap.isMissing(result)).map((gap) => ({
    title: gap.title,
    says: [...sentencesAbout(result.findings, gap.about), gap.shot],
  }));
}

/** What the answer about repairs tells already. */
const REPAIRS: readonly Finding['code'][] = ['pull-gain', 'pull-dip'];

/** Findings that stand nowhere else on the page: neither doubts nor about a missing figure. */
export function otherFindings(result: Result): readonly Finding[] {
  const told = GAPS.filter((gap) => gap.isMissing(result)).map(({ about }) => about);
  return result.findings.filter(
    (one) => !isDoubt(one) && !told.includes(one.about) && !REPAIRS.includes(one.code),
  );
}

/** Sentences of what makes figures doubtful. */
export function doubts(result: Result): string[] {
  return result.findings.filter(isDoubt).map(findingSentence);
}
