import type { CellResult, Evidence, Result } from '@twolamp/session';

/** What the report embeds for its script, beside the charts. */
export interface PageData {
  readonly array: Result['array'];
  readonly cells: readonly CellResult[];
  readonly picture: { readonly scale: number; readonly widthPx: number; readonly heightPx: number } | null;
  readonly pitchPx: number | null;
  readonly sweep: Evidence['sweep'];
  readonly profiles: Evidence['profiles'];
}

/** Plots need no more digits, and a sweep over thousands of tubes is most of the page. */
function rounded(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}

export function pageData(result: Result, evidence: Evidence | null): PageData {
  const picture = evidence?.picture ?? null;
  const sweep = evidence?.sweep ?? null;
  return {
    array: result.array,
    cells: result.cells,
    picture: picture && { scale: picture.scale, widthPx: picture.widthPx, heightPx: picture.heightPx },
    pitchPx: evidence?.pitchPx ?? null,
    sweep: sweep && {
      lamps: sweep.lamps,
      response: sweep.response.map((row) => row.map((value) => (value === null ? null : rounded(value)))),
    },
    profiles: evidence?.profiles ?? [],
  };
}
