import type { AnyFinding } from '@twolamp/session';
import { COMPARE_WORDS } from './compare.js';
import { CROSSTALK_WORDS } from './crosstalk.js';
import { DOUBT_WORDS } from './doubt.js';
export { reasonsText } from './faults.js';
import { FAULTS_WORDS } from './faults.js';
import { PAIRS_WORDS } from './pairs.js';
import { PHOTOS_WORDS } from './photos.js';
import { POINTING_WORDS } from './pointing.js';
import { PREVIEW_WORDS } from './preview.js';
import { TRANSMISSION_WORDS } from './transmission.js';
import { WALL_WORDS } from './wall.js';
import type { WordsOf } from './words-of.js';

const NOTES_V1_WORDS: WordsOf<'earlierVersions'> = {
  'note-v1': ({ text }) => started(text),
};

const WORDS = {
  ...PHOTOS_WORDS,
  ...TRANSMISSION_WORDS,
  ...POINTING_WORDS,
  ...CROSSTALK_WORDS,
  ...PAIRS_WORDS,
  ...FAULTS_WORDS,
  ...WALL_WORDS,
  ...DOUBT_WORDS,
  ...COMPARE_WORDS,
  ...PREVIEW_WORDS,
  ...NOTES_V1_WORDS,
};

/** The sentence of a finding, the same on the page, on the command line and in lists. */
export function findingSentence({ code, about, values }: AnyFinding): string {
  return (WORDS[code] as (values: AnyFinding['values'], about: string) => string)(values, about);
}

/** The sentences of those findings that are about this part of a file, such as `resolving`. */
export function sentencesAbout(findings: readonly AnyFinding[], ...parts: readonly string[]): string[] {
  return findings.filter(({ about }) => parts.includes(about)).map(findingSentence);
}

/** A sentence with its capital letter and full stop, which notes of version 1 lack. */
function started(text: string): string {
  const upper = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(upper) ? upper : `${upper}.`;
}
