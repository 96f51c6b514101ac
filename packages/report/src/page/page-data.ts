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
