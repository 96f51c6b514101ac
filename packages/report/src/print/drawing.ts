/** A place on the paper, mm from its top left corner: x right, y down. */
export type PaperPoint = readonly [xMm: number, yMm: number];

/** Line widths in mm. */
export const WEIGHT = { hair: 0.1, line: 0.2, strong: 0.5 } as const;

export type Weight = keyof typeof WEIGHT;

export type Shape =
  | { readonly kind: 'circle'; readonly at: PaperPoint; readonly radiusMm: number; readonly filled: boolean }
  | { readonly kind: 'line'; readonly points: readonly PaperPoint[]; readonly weight: Weight }
  | {
      readonly kind: 'text';
      /** Where the baseline starts, ends or has its middle. */
      readonly at: PaperPoint;
      readonly text: string;
      readonly sizeMm: number;
      readonly anchor: 'start' | 'middle' | 'end';
      /** White on a filled circle. */
      readonly inverse?: boolean;
    };

/** Something to be printed at true scale: the one description from which SVG and PDF are made. */
export interface Drawing {
  readonly title: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly shapes: readonly Shape[];
}
