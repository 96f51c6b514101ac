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

/** A tube's fault, and the figures that it rests on. */
interface Tube {
  readonly cell: number;
  readonly fault: string;
  readonly figures: readonly Figure[];
}

interface Figure {
  readonly value: number | null;
  /** Standard uncertainty. */
  readonly sigma: number | null;
}

/** What the page says first: how fine the array sees, which tubes need work, how much light it passes. */
export interface Headlines {
  readonly resolving: { readonly distanceM: number; readonly sigmaM: number; readonly bound: string } | null;
  readonly tubes: readonly Tube[];
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
    tubes: cells.map(tubeOf),
    absolute: absolute.length === 0 ? null : { mean: mean(absolute), sigma: mean(sigma) },
  };
}

function tubeOf({ cell, fault, transmission, pointing }: Result['cells'][number]): Tube {
  const light = { value: transmission.relative, sigma: transmission.relativeUncertainty };
  if (!pointing) return { cell, fault, figures: [light] };
  const { acrossDeg, upDeg, uncertaintyDeg, acceptanceWidthDeg, acceptanceWidthUncertaintyDeg } = pointing;
  const figures = [
    light,
    { value: acrossDeg, sigma: uncertaintyDeg },
    { value: upDeg, sigma: uncertaintyDeg },
    { value: acceptanceWidthDeg, sigma: acceptanceWidthUncertaintyDeg },
  ];
  return { cell, fault, figures };
}

/** Whether a figure stays within its standard uncertainty. */
function stays(before: Figure, after: Figure | undefined): boolean {
  if (before.value === null || after?.value == null) return before.value === (after?.value ?? null);
  return Math.abs(after.value - before.value) <= (before.sigma ?? 0);
}

/** Tubes that get another fault: those of which a figure changes by more than its standard uncertainty, and the others. */
function changedTubes(before: Headlines, after: Headlines): { clearly: string[]; atThreshold: string[] } {
  const changes = before.tubes.flatMap((tube, n) => {
    const now = after.tubes[n];
    if (now?.cell === tube.cell && now.fault === tube.fault) return [];
    const same = now?.cell === tube.cell && tube.figures.every((one, k) => stays(one, now.figures[k]));
    return [{ same, says: `${tube.cell} ${tube.fault} → ${now?.fault}` }];
  });
  const those = (same: boolean) => changes.filter((one) => one.same === same).map(({ says }) => says);
  return { clearly: those(false), atThreshold: those(true) };
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
  const { clearly } = changedTubes(before, after);
  if (clearly.length > 0) changed.push(`tubes ${clearly.join(', ')}`);
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

/**
 * Where nothing names the photo: `unchanged`: no headline changed. `at a threshold`: a tube got another fault while all its
 * figures stayed within their standard uncertainty. `silent`: a headline changed by more.
 */
export type Verdict = 'refused by name' | 'named' | 'unchanged' | 'at a threshold' | 'silent';

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
    const { atThreshold } = changedTubes(right(), headlinesOf(result));
    const unsaid = atThreshold.length > 0 ? 'at a threshold' : 'unchanged';
    const says = [changed, ...atThreshold, `findings ${codes}`].join('; ');
    return { verdict: changed === '' ? unsaid : 'silent', says };
  } catch (error) {
    if (!(error instanceof InputError)) return { verdict: 'silent', says: `${(error as Error).stack}` };
    return {
      verdict: error.message.includes(shot.photo) ? 'refused by name' : 'silent',
      says: error.message,
    };
  }
}
