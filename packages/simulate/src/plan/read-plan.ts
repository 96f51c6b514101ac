import { readYaml } from '@twolamp/session';
import { z } from 'zod';
import { PLAN_FORMAT, type Plan, planSchema } from './plan-format.js';

/** What a simulation needs beyond a session file: any seed, and photos of a size that is quickly drawn. */
const FOR_SESSIONS = { seed: 1, photo: { width: 1600, height: 1200 } } as const;

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** A session as the plan of its own simulation; exposures are the camera's own. Whatever else is left as it is. */
function planOfSession(data: unknown): unknown {
  if (!isFields(data) || !String(data.format).startsWith('twolamp-session/')) return data;
  const { camera: _, 'lamp-diameter': diameter, shots, ...rest } = data;
  return {
    ...rest,
    ...FOR_SESSIONS,
    format: PLAN_FORMAT,
    ...(diameter === undefined ? {} : { lamp: { diameter } }),
    shots: Array.isArray(shots)
      ? shots.map((shot) => {
          if (!isFields(shot)) return shot;
          const { exposure: _exposure, iso: _iso, aperture: _aperture, ...planned } = shot;
          return planned;
        })
      : shots,
  };
}

/**
 * A plan from the text of plan.yaml, or from a session.yaml as `plan` writes it: the same array and shots, photographed
 * with the camera of the defaults.
 *
 * @param file - its name, for messages
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readPlan(text: string, file: string): Plan {
  return readYaml(
    z.preprocess(planOfSession, planSchema),
    text,
    file,
    'format, seed, array, photo and shots',
  );
}
