import { printable, printableLines, shortened } from '@twolamp/session/printable';

/** Where a verb writes: figures for machines to `out`, everything a person reads to `err`. */
export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** True where `err` is a screen on which a line can be written over. */
  readonly interactive: boolean;
  /** Asks a person and gives what was typed; null where nobody can answer. */
  readonly ask: ((question: string) => Promise<string>) | null;
}

/** Whether a person agrees to a question; false for any other answer than yes. */
export async function agrees(ask: NonNullable<Terminal['ask']>, question: string): Promise<boolean> {
  return /^y(es)?$/i.test((await ask(`${question} (yes or no) `)).trim());
}

/** Told before each step: which one it is, counted from 1, of how many, and what it works on. */
export type Progress = (step: number, of: number, what: string) => void;

const CLEAR_LINE = '\r\x1b[K';

/** The same terminal, on which names from files can't write escape codes: they are shown as text. */
export function safeTerminal(terminal: Terminal): Terminal {
  const safe = (text: string) => text.split(CLEAR_LINE).map(printableLines).join(CLEAR_LINE);
  return { ...terminal, err: (text) => terminal.err(safe(text)) };
}

/** Steps whose time is known before the rest is estimated. */
const STEPS_TIMED = 3;
/** Shorter waits are not worth announcing. */
const LEAST_LEFT_S = 10;

/**
 * The time that is left, from the mean of the steps so far without the first one, which looks for the tubes.
 *
 * @returns text to stand behind a step's line; empty where nothing can be said yet
 */
function remainingTime(): (step: number, of: number) => string {
  let second: { readonly step: number; readonly at: number } | null = null;
  return (step, of) => {
    const now = performance.now();
    if (step < 2 || (second !== null && step <= second.step)) {
      second = null;
      return '';
    }
    second ??= { step, at: now };
    const done = step - second.step;
    if (done < STEPS_TIMED) return '';
    const seconds = ((now - second.at) / 1000 / done) * (of - step + 1);
    if (seconds < LEAST_LEFT_S) return '';
    return seconds < 90
      ? `, about ${10 * Math.round(seconds / 10)} s left`
      : `, about ${Math.round(seconds / 60)} min left`;
  };
}

/** Shows how far long work has got: one line that changes on a screen, else a line a step. */
export function showProgress(terminal: Terminal): { readonly step: Progress; readonly end: () => void } {
  let shown = '';
  const left = remainingTime();
  return {
    step: (step, of, what) => {
      // A line break in a name would leave the line behind.
      const line = `${step} of ${of}: ${printable(shortened(what))}${left(step, of)}`;
      if (line === shown) return;
      shown = line;
      terminal.err(terminal.interactive ? `${CLEAR_LINE}${line}` : `${line}\n`);
    },
    end: () => {
      if (terminal.interactive && shown !== '') terminal.err(CLEAR_LINE);
    },
  };
}
