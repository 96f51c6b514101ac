import { normalize } from 'node:path';
import { InputError } from '@twolamp/session';
import type { Plan } from '../plan/plan-format.js';
import type { PlannedScene, PlannedShot } from '../plan/shots-format.js';

/** One photo to take. */
export interface PlannedPhoto {
  readonly name: string;
  readonly shot: PlannedShot | PlannedScene;
}

/**
 * Every photo of a plan, those of the scenes last, repeats written out. Photos without a stated name are called after
 * their kind, with a number where there is more than one: even.jpg; lamp-01.jpg, lamp-02.jpg.
 *
 * @throws InputError where a stated name is one that another photo gets, or a photo has the name of a scene's picture
 */
export function listPhotos(plan: Plan): PlannedPhoto[] {
  const extension = plan.photo.format === 'jpeg' ? 'jpg' : 'png';
  const shots = [
    ...plan.shots.flatMap((shot) => Array.from({ length: shot.repeats }, () => shot)),
    ...plan.scenes,
  ];
  const unnamed = (kind: string) =>
    shots.filter((shot) => shot.kind === kind && shot.photo === undefined).length;
  const counts = new Map<string, number>();
  const photos = shots.map((shot) => {
    if (shot.photo !== undefined) return { name: shot.photo, shot };
    const total = unnamed(shot.kind);
    const number = (counts.get(shot.kind) ?? 0) + 1;
    counts.set(shot.kind, number);
    const digits = String(number).padStart(String(total).length, '0');
    return { name: total === 1 ? `${shot.kind}.${extension}` : `${shot.kind}-${digits}.${extension}`, shot };
  });
  const names = photos.map((photo) => photo.name);
  const double = names.find((name, index) => names.indexOf(name) !== index);
  if (double !== undefined) {
    throw new InputError(
      'shots',
      `two photos would be called ${double}`,
      'another name for the one that has its own',
    );
  }
  const over = plan.scenes.find(({ picture }) => names.includes(normalize(picture)));
  if (over !== undefined) {
    throw new InputError(
      'scenes',
      `a photo would be called ${over.picture}, as a scene’s picture is`,
      'another name',
    );
  }
  return photos;
}
