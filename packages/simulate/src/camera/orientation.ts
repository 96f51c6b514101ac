/** Order in which a stored photo takes its pixels from the upright one, as index = first + row·perRow + column·perColumn. */
export interface StoredOrder {
  readonly width: number;
  readonly height: number;
  readonly first: number;
  readonly perRow: number;
  readonly perColumn: number;
}

/**
 * How to store an upright photo so that its EXIF orientation tag puts it upright again.
 *
 * @param width - of the upright photo, px
 * @param orientation - 1 to 8: where the stored photo's first row and first column belong (1 top and left, 2 top and
 *   right, 3 bottom and right, 4 bottom and left, 5 left and top, 6 right and top, 7 right and bottom, 8 left and
 *   bottom). Source: CIPA DC-008, Exif 2.32, tag 274.
 */
export function storedOrder(width: number, height: number, orientation: number): StoredOrder {
  const fromRight = [2, 3, 6, 7].includes(orientation);
  const fromBottom = [3, 4, 7, 8].includes(orientation);
  const isTurned = orientation >= 5;
  const alongX = fromRight ? -1 : 1;
  const alongY = fromBottom ? -width : width;
  return {
    width: isTurned ? height : width,
    height: isTurned ? width : height,
    first: (fromRight ? width - 1 : 0) + (fromBottom ? (height - 1) * width : 0),
    perRow: isTurned ? alongX : alongY,
    perColumn: isTurned ? alongY : alongX,
  };
}
