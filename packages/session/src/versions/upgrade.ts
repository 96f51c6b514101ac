import { z } from 'zod';
import { InputError } from '../errors.js';
import { checked } from '../refusal.js';

/** The step from one version of a format to the next, for data of a file. */
type Step = (data: unknown, file: string) => unknown;

/** The steps of a format, by the format name that they start from. */
export type Steps = Readonly<Record<string, Step>>;

/**
 * A step that holds the data against the earlier version's schema first.
 *
 * @throws InputError where the data isn't what the earlier version asks for
 */
export function step<T>(schema: z.ZodType<T>, upgrade: (old: T) => unknown): Step {
  return (data, file) => {
    const old = checked(schema, data, file);
    try {
      return upgrade(old);
    } catch (error) {
      // Dimensions that no array can have: the earlier version didn't ask.
      if (error instanceof RangeError) throw new InputError(file, error.message);
      throw error;
    }
  };
}

const named = z.looseObject({ format: z.string() });

/**
 * A file's data as the current version of its format has it; data of that version, or of none, is returned as it is.
 *
 * @param file - for messages
 */
export function upgraded(data: unknown, steps: Steps, file: string): unknown {
  const format = named.safeParse(data).data?.format;
  // A format may be named like what every object has, such as constructor.
  const next = format !== undefined && Object.hasOwn(steps, format) ? steps[format] : undefined;
  return next === undefined ? data : upgraded(next(data, file), steps, file);
}
