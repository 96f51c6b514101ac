import { z } from 'zod';
import { type FindingTable, type ReasonTable, text } from './define.js';

/** Sentences of files of version 1, which had no codes. */
export const NOTES_V1 = {
  'note-v1': {
    about: z.string(),
    meaning: 'a note of a file of version 1',
    values: { text: text('as it stands there') },
  },
} as const satisfies FindingTable;

export const REASONS_V1 = {
  'reason-v1': {
    meaning: 'the reason of a fault in a file of version 1',
    values: { text: text('as it stands there') },
  },
} as const satisfies ReasonTable;
