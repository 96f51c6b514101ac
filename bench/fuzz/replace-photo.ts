import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { forgetPhoto, nextShot, type OpenSurvey, surveyOf, surveyShot } from '@twolamp/cells';
import { measureSurvey } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { InputError, type LinearPhoto, type Result, type Session, type Shot } from '@twolamp/session';
import { mean } from 'simple-statistics';
import { type Draw, drawFrom } from './draw.js';
import { FOREIGN, foreignPicture } from './mutate-photo.js';

/** Gives a shot's photo. */
export type Load = (shot: Shot) => Promise<LinearPhoto>;

/** A photo of a session, and what stands in its place. */
export interface Replacement {
  readonly shot: Shot;
  readonly by: string;
  readonly photo: () => Promise<LinearPhoto>;
}

/** Draws a kind of shot, one of its photos, and a picture for its place: of no bench, or a photo of another kind. */
export function drawReplacement(session: Session, load: Load, seed: number, folder: string): Replacement {
  const draw = drawFrom(seed);
  const kinds = [...new Set(session.shots.map(({ kind }) => kind))];
  const kind = draw.pick(kinds);
  const shot = draw.pick(session.shots.filter((one) => one.kind === kind));
  if (draw.chance(0.5)) {
    const otherKind = draw.pick(kinds.filter((one) => one !== kind));
    const other = draw.pick(session.shots.filter((one) => one.kind === otherKind));
    return { shot, by: other.photo, photo: () => load(other) };
  }
  const by = draw.pick(FOREIGN);
  return { shot, by, photo: () => pictureAs(by, shot, load, draw, folder) };
}

/** A picture of no bench, of the photo's size, with its exposure or without any. */
async function pictureAs(
  by: string,
  shot: Shot,
  load: Load,
  draw: Draw,
  folder: string,
): Promise<LinearPhoto> {
  const { width, height, exposureS, iso, aperture } = await load(shot);
  const file = join(folder, 'picture.png');
  await writeFile(file, await foreignPicture(by, { width, height }, draw));
  const picture = await readPhoto(file, { tone: 'srgb', channel: 'luminance' });
  return draw.chance(0.5) ? { ...picture, exposureS, iso, aperture } : picture;
}

/** What the page says first: how fine the array sees, which tubes need work, how much light it passes. */
export interface Headlines {
  readonly resolving: { readonly distanceM: number; readonly sigmaM: number; readonly bound: string } | null;
  /** Tubes that need work, each with its fault. */
  readonly faulty: readonly string[];
  readonly absolute: { readonly mean: number; readonly sigma: number } | null;
}

/** Half of a 95 % interval over the standard uncertainty of a normal distribution. */
const SIGMAS_PER_HALF_INTERVAL = 1.96;

export function headlinesOf({ resolving, cells }: Result): Headlines {
  const absolute = cells.flatMap((cell) => cell.transmission.absolute ?? []);
  const sigma = cells.flatMap((cell) => cell.transmission.absoluteUncertainty ?? []);
  return {
    resolving: resolving && {
      distanceM: resolving.distanceM,
      sigmaM:
        ((resolving.highM ?? resolving.distanceM) - (resolving.lowM ?? resolving.distanceM)) /
        2 /
        SIGMAS_PER_HALF_INTERVAL,
      bound: resolving.bound,
    },
    faulty: cells.filter(({ fault }) => fault !== 'none').map(({ cell, fault }) => `${cell} ${fault}`),
    absolute: absolute.length === 0 ? null : { mean: mean(absolute), sigma: mean(sigma) },
  };
}

/** Which headlines differ by more than their standard uncertainty, in words. */
function changedHeadlines(before: Headlines, after: Headlines): string[] {
  const changed: string[] = [];
  const [from, to] = [before.resolving, after.resolving];
  if (from?.bound !== to?.bound) changed.push(`resolving ${from?.bound} → ${to?.bound}`);
  else if (from && to && Math.abs(from.distanceM - to.distanceM) > from.sigmaM) {
    changed.push(
      `resolving ${from.distanceM.toFixed(3)} ± ${from.sigmaM.toFixed(3)} → ${to.distanceM.toFixed(3)} m`,
    );
  }
  const gone = before.faulty.filter((one) => !after.faulty.includes(one));
  const come = after.faulty.filter((one) => !before.faulty.includes(one));
  if (gone.length + come.length > 0) changed.push(`faulty − ${gone.join(', ')} + ${come.join(', ')}`);
  const [was, is] = [before.absolute, after.absolute];
  if ((was === null) !== (is === null))
    changed.push(`absolute ${was?.mean.toPrecision(3)} → ${is?.mean.toPrecision(3)}`);
  else if (was && is && Math.abs(was.mean - is.mean) > was.sigma) {
    changed.push(
      `absolute ${was.mean.toPrecision(3)} ± ${was.sigma.toPrecision(2)} → ${is.mean.toPrecision(3)}`,
    );
  }
  return changed;
}

/** `unchanged`: nothing names the photo, and no headline changed. `silent`: one did. */
export type Verdict = 'refused by name' | 'named' | 'unchanged' | 'silent';

export interface Judged {
  readonly verdict: Verdict;
  readonly says: string;
}

/** Whether a finding names a photo: its file, or its shot's place in session.yaml. */
function names({ about, values }: Result['findings'][number], shot: Shot, session: Session): boolean {
  const place = `shots[${session.shots.indexOf(shot) + 1}]`;
  return about === shot.photo || about.startsWith(place) || Object.values(values).flat().includes(shot.photo);
}

/**
 * Measures a session again with one photo replaced.
 *
 * @param surveyed - the right session
 * @param right - gives its headlines; asked where the photo is not named from its look alone
 */
export async function judgeReplaced(
  session: Session,
  load: Load,
  surveyed: OpenSurvey,
  right: () => Headlines,
  { shot, photo }: Replacement,
): Promise<Judged> {
  const survey = structuredClone(surveyed);
  forgetPhoto(survey, shot.photo);
  try {
    for (let next = nextShot(survey, session); next; next = nextShot(survey, session)) {
      surveyShot(survey, session, next, await (next === shot ? photo() : load(next)));
    }
    const known = surveyOf(survey, session)!;
    const seen = known.findings.find((one) => names(one, shot, session));
    // Named already: what the figures would be costs seconds, and changes nothing.
    if (seen) return { verdict: 'named', says: seen.code };
    const { result } = measureSurvey(session, known);
    const changed = changedHeadlines(right(), headlinesOf(result)).join('; ');
    const finding = result.findings.find((one) => names(one, shot, session));
    if (finding) return { verdict: 'named', says: `${finding.code}; ${changed}` };
    const codes = result.findings.map(({ code, about }) => `${code} ${about}`).join(', ');
    return { verdict: changed === '' ? 'unchanged' : 'silent', says: `${changed}; findings ${codes}` };
  } catch (error) {
    if (!(error instanceof InputError)) return { verdict: 'silent', says: `${(error as Error).stack}` };
    return {
      verdict: error.message.includes(shot.photo) ? 'refused by name' : 'silent',
      says: error.message,
    };
  }
}
