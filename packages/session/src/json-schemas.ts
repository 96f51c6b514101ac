import { z } from 'zod';
import { comparisonSchema } from './comparison-format.js';
import { evidenceSchema } from './evidence-format.js';
import { previewSchema } from './preview-format.js';
import { resultSchema } from './result-format.js';
import { weighingSchema } from './weighing-format.js';
import { sessionSchema } from './session-format.js';

const FORMATS = {
  session: { schema: sessionSchema, title: 'session.yaml: one bench session' },
  result: { schema: resultSchema, title: 'result.json: what was measured' },
  evidence: { schema: evidenceSchema, title: 'evidence.json: what the page draws beyond the figures' },
  comparison: { schema: comparisonSchema, title: 'compare.json: an earlier result against a later one' },
  weighing: { schema: weighingSchema, title: 'weigh.json: ways to go on with an array, side by side' },
  preview: { schema: previewSchema, title: 'preview.json: a scene as an array would paint it' },
};

/**
 * The file formats as JSON Schema (draft 2020-12), by name.
 *
 * They describe the files as written. What ties fields together (an even shot must be there, the bore is no wider
 * than the pitch) is checked on reading only.
 */
export function jsonSchemas(): Record<keyof typeof FORMATS, object> {
  const published = Object.entries(FORMATS).map(([name, { schema, title }]) => {
    const { $schema, ...rest } = z.toJSONSchema(schema, { io: 'input' });
    return [name, { $schema, title, ...rest }];
  });
  return Object.fromEntries(published);
}
