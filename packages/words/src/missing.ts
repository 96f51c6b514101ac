import { type CellResult, type Finding, isDoubt, type Result } from '@twolamp/session';
import { findingSentence, sentencesAbout } from './findings/index.js';
import { counted, listed } from './quantity.js';

interface Gap {
  readonly about: string;
  readonly title: string;
  readonly isMissing: (result: Result) => boolean;
  readonly shot: string;
}

const POINTING = 'Where each tube points, and how wide it sees';

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
    title: POINTING,
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

/** Share of a row or column that counts as most of it. */
const MOST = 0.5;

/** “1, 2 and 4 to 9”, of numbers in ascending order. */
function ranges(numbers: readonly number[]): string {
  const runs: { first: number; last: number }[] = [];
  for (const number of numbers) {
    const run = runs.at(-1);
    if (run?.last === number - 1) run.last = number;
    else runs.push({ first: number, last: number });
  }
  return listed(
    runs.flatMap(({ first, last }) =>
      last - first < 2 ? [...new Set([first, last])].map(String) : [`${first} to ${last}`],
    ),
  );
}

/** “row 1”, “columns 1, 2 and 30”: the lines in which most tubes are among the given ones. */
function lines(of: 'row' | 'column', some: readonly CellResult[], all: readonly CellResult[]): string[] {
  const count = (cells: readonly CellResult[], line: number) =>
    cells.filter((cell) => cell[of] === line).length;
  const found = [...new Set(some.map((cell) => cell[of]))]
    .filter((line): line is number => line !== null && count(some, line) > MOST * count(all, line))
    .sort((a, b) => a - b);
  return found.length === 0 ? [] : [`${of}${found.length === 1 ? '' : 's'} ${ranges(found)}`];
}

/** Tubes without a fault of which the sweep can't tell whether they are bent or misaimed; null where there are none. */
function notJudged({ cells }: Result): MissingFigure | null {
  const tubes = cells.filter(({ state }) => state === 'filled');
  const open = tubes.filter(({ pointing, fault }) => pointing === null && fault === 'none');
  if (open.length === 0 || open.length === tubes.length) return null;
  // Where most tubes are open, naming rows and columns says nothing.
  const few = open.length <= MOST * tubes.length;
  const where = few ? [...lines('row', open, tubes), ...lines('column', open, tubes)] : [];
  const mostly = where.length === 0 ? '' : `, among them most of ${listed(where)},`;
  return {
    title: 'Whether every tube is straight',
    says: [
      `${open.length} of ${counted(tubes.length, 'tube')}${mostly} can’t be judged: too few lamps light them, or they look past ` +
        'the lamps. Bent and misaimed ones among them don’t show. They are the empty rings under “Where the tubes look”; blocked ' +
        'and weak tubes are not counted here.',
      'More lamp places, as in the thorough list, would tell.',
    ],
  };
}

/** What does not apply to a screen of cells behind a lens. */
const OF_LIGHT_PIPES: readonly Gap['about'][] = ['resolving', 'pointing'];

const gapsOf = ({ array }: Result): readonly Gap[] =>
  array.kind === 'cell-screen' ? GAPS.filter(({ about }) => !OF_LIGHT_PIPES.includes(about)) : GAPS;

/** Figures that the shots at hand can't give, with the result's own reasons and the shot that would help. */
export function missingFigures(result: Result): MissingFigure[] {
  const missing = gapsOf(result)
    .filter((gap) => gap.isMissing(result))
    .map((gap) => ({
      title: gap.title,
      says: [...sentencesAbout(result.findings, gap.about), gap.shot],
    }));
  const pointed = result.cells.some(({ pointing }) => pointing !== null);
  const open = pointed ? notJudged(result) : null;
  return open === null ? missing : [...missing, open];
}

/** What the answers about the array's sharpness and about repairs tell already. */
const ANSWERED: readonly Finding['code'][] = ['cell-screen', 'pull-gain', 'pull-dip'];

/** Findings that stand nowhere else on the page: neither doubts nor about a missing figure. */
export function otherFindings(result: Result): readonly Finding[] {
  const told = gapsOf(result)
    .filter((gap) => gap.isMissing(result))
    .map(({ about }) => about);
  return result.findings.filter(
    (one) => !isDoubt(one) && !told.includes(one.about) && !ANSWERED.includes(one.code),
  );
}

/** Sentences of what makes figures doubtful. */
export function doubts(result: Result): string[] {
  return result.findings.filter(isDoubt).map(findingSentence);
}

/** {@link doubtsOf} the two results of a comparison. */
export function doubtsOfBoth(earlier: Result, later: Result): string[] {
  return doubtsOf([
    ['the earlier session', earlier],
    ['the later session', later],
  ]);
}

/**
 * What to say first where something is made from results that are doubtful.
 *
 * @param results - by what they are called, such as “the earlier session”; an empty name for the only one
 * @returns nothing where none is doubtful
 */
export function doubtsOf(results: readonly (readonly [name: string, Result])[]): string[] {
  const says = results.flatMap(([name, result]) =>
    doubts(result).map((doubt) => (name === '' ? doubt : `In ${name}: ${doubt}`)),
  );
  return says.length === 0
    ? []
    : [...says, 'Figures that rest on it are doubtful or left out here. Correct it and measure again.'];
}
