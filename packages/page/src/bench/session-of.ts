import { type Session, type Shot, writeSession } from '@twolamp/session';
import { setupOf } from './array-form.js';
import type { Bench } from './bench.js';

/**
 * The session of a bench with the given shots.
 * @throws InputError where the form can't be read
 */
export function sessionOf({ form, tone }: Pick<Bench, 'form' | 'tone'>, shots: readonly Shot[]): Session {
  return { ...setupOf(form), tone, shots: [...shots] };
}

/** The text of session.yaml. */
export function sessionText(session: Session): string {
  return writeSession({
    heading: [
      'Made by the bench in a browser. Measure it with: npm run --silent twolamp -- measure session.yaml',
    ],
    ...session,
  });
}
