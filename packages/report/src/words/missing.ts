import type { Note, Result } from '@twolamp/session';

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

function sentence(text: string): string {
  const trimmed = text.trim();
  const started = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return /[.!?]$/.test(started) ? started : `${started}.`;
}

/** Figures that the shots at hand can't give, with the result's own reasons and the shot that would help. */
export function missingFigures(result: Result): MissingFigure[] {
  return GAPS.filter((gap) => gap.isMissing(result)).map((gap) => ({
    title: gap.title,
    says: [...notesAbout(result, gap.about).map(({ says }) => sentence(says)), gap.shot],
  }));
}

function notesAbout(result: Result, about: string): readonly Note[] {
  return result.notes.filter((note) => note.about === about || note.about.startsWith(`${about}.`));
}

/** Notes that are not about a missing figure. */
export function otherNotes(result: Result): readonly Note[] {
  const told = new Set(
    GAPS.filter((gap) => gap.isMissing(result)).flatMap((gap) => notesAbout(result, gap.about)),
  );
  return result.notes
    .filter((note) => !told.has(note))
    .map(({ about, says }) => ({ about, says: sentence(says) }));
}
