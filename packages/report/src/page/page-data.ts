import type { CellResult, Evidence, Result, TubeChange } from '@twolamp/session';
import { cureSentence, reasonsText } from '@twolamp/words';

/** What the report embeds for its script, beside the charts. */
export interface ReportData {
  readonly kind: 'report';
  readonly array: Result['array'];
  readonly cells: readonly CellResult[];
  /** Why each cell counts as faulty and what to do, in the order of `cells`; empty for a healthy tube. */
  readonly reasons: readonly string[];
  readonly picture: { readonly scale: number } | null;
  readonly pitchPx: number | null;
  readonly sweep: Evidence['sweep'];
  readonly profiles: Evidence['profiles'];
}

/** What the comparison embeds for its script. */
export interface ComparisonData {
  readonly kind: 'comparison';
  readonly array: Result['array'];
  readonly tubes: readonly TubeChange[];
}

/** What the history embeds for its script. */
export interface HistoryData {
  readonly kind: 'history';
  /** In the order of the page's maps. */
  readonly maps: readonly {
    readonly array: Result['array'];
    /** What stands beside the pointer. */
    readonly labels: readonly { readonly cell: number; readonly text: string }[];
  }[];
}

/** null where no tube can be chosen or pointed at. */
export type PageData = ReportData | ComparisonData | HistoryData | null;

/** Plots need no more digits, and a sweep over thousands of tubes is most of the page. */
function rounded(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}

export function reportData(result: Result, evidence: Evidence | null): ReportData {
  const sweep = evidence?.sweep ?? null;
  return {
    kind: 'report',
    array: result.array,
    cells: result.cells,
    reasons: result.cells.map((cell) => `${reasonsText(cell.reasons)} ${cureSentence(cell)}`.trim()),
    picture: evidence?.picture ? { scale: evidence.picture.scale } : null,
    pitchPx: evidence?.pitchPx ?? null,
    sweep: sweep && {
      lamps: sweep.lamps,
      response: sweep.response.map((row) => row.map((value) => (value === null ? null : rounded(value)))),
    },
    profiles: evidence?.profiles ?? [],
  };
}
