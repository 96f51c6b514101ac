import { readYaml } from '@twolamp/session';
import { type Plan, planSchema } from './plan-format.js';

/**
 * A plan from the text of plan.yaml.
 *
 * @param file - its name, for messages
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readPlan(text: string, file: string): Plan {
  return readYaml(planSchema, text, file, 'format, seed, array, photo and shots');
}
