import { COMPARE } from './compare.js';
import { CROSSTALK } from './crosstalk.js';
import type { FindingIn, FindingOf, ReasonIn, ReasonOf } from './define.js';
import { DOUBT } from './doubt.js';
export { DOUBTED_LENGTHS, type DoubtedLength, type SeenAs } from './doubt.js';
import { NOTES_V1, REASONS_V1 } from './earlier-versions.js';
import { FAULTS_FOUND, REASONS } from './faults.js';
import { PAIRS } from './pairs.js';
import { PHOTOS } from './photos.js';
import { POINTING } from './pointing.js';
import { PREVIEW } from './preview.js';
import { TRANSMISSION } from './transmission.js';
import { WALL } from './wall.js';

/** The table of all findings by area; each area has its file here, and its sentences in the report package. */
export const FINDINGS = {
  photos: PHOTOS,
  transmission: TRANSMISSION,
  pointing: POINTING,
  crosstalk: CROSSTALK,
  pairs: PAIRS,
  faults: FAULTS_FOUND,
  wall: WALL,
  doubt: DOUBT,
  compare: COMPARE,
  preview: PREVIEW,
  earlierVersions: NOTES_V1,
} as const;

/** Codes that a result may have. */
export const RESULT_FINDINGS = {
  ...PHOTOS,
  ...TRANSMISSION,
  ...POINTING,
  ...CROSSTALK,
  ...PAIRS,
  ...FAULTS_FOUND,
  ...WALL,
  ...DOUBT,
  ...NOTES_V1,
};

/** Codes that a comparison may have. */
export const COMPARISON_FINDINGS = { ...COMPARE, ...NOTES_V1 };

/** Codes that a preview may have. */
export const PREVIEW_FINDINGS = { ...PREVIEW, ...NOTES_V1 };

/** Codes that the reason of a fault may have. */
export const FAULT_REASONS = { ...REASONS, ...REASONS_V1 };

type AllFindings = typeof RESULT_FINDINGS & typeof COMPARISON_FINDINGS & typeof PREVIEW_FINDINGS;

/** What a result says beyond its figures: a code of the table, what it is about, and its values. */
export type Finding = FindingIn<typeof RESULT_FINDINGS>;
export type ComparisonFinding = FindingIn<typeof COMPARISON_FINDINGS>;
export type PreviewFinding = FindingIn<typeof PREVIEW_FINDINGS>;
export type AnyFinding = Finding | ComparisonFinding | PreviewFinding;
/** Why a tube counts as faulty: a code of the table, and its values. */
export type Reason = ReasonIn<typeof FAULT_REASONS>;

/** A finding; the compiler holds what it is about and its values against the table. */
export function finding<C extends keyof AllFindings>(
  code: C,
  about: FindingOf<AllFindings, C>['about'],
  values: FindingOf<AllFindings, C>['values'],
): FindingOf<AllFindings, C> {
  return { code, about, values };
}

/** A reason; likewise. */
export function reason<C extends keyof typeof FAULT_REASONS>(
  code: C,
  values: ReasonOf<typeof FAULT_REASONS, C>['values'],
): ReasonOf<typeof FAULT_REASONS, C> {
  return { code, values };
}

/** Whether a finding makes figures doubtful. */
export function isDoubt({ code }: { readonly code: string }): boolean {
  return code.startsWith('doubt-');
}
