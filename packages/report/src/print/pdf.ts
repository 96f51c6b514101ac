import type PDFDocument from 'pdfkit';
import { type Drawing, type Shape, WEIGHT } from './drawing.js';
import { OVERLAP_MM, PAGE_MARGIN_MM, type Tile, type Tiling, tilesFor } from './tiles.js';

type Document = InstanceType<typeof PDFDocument>;

const POINTS_PER_MM = 72 / 25.4;
const FONT = 'Helvetica';
const NOTE_SIZE_MM = 3;
const CROSS_MM = 4;

/** The built-in fonts know Latin letters only. */
function latin(text: string): string {
  return text.replace(/[^\u0020-\u007e\u00a0-\u00ff\u2013\u2014\u2018\u2019\u201c\u201d]/gu, '?');
}

function draw(document: Document, shape: Shape): void {
  if (shape.kind === 'circle') {
    document.circle(shape.at[0], shape.at[1], shape.radiusMm).lineWidth(WEIGHT.line);
    if (shape.filled) document.fillAndStroke('black', 'black');
    else document.stroke('black');
    return;
  }
  if (shape.kind === 'line') {
    shape.points.forEach(([x, y], i) => {
      if (i === 0) document.moveTo(x, y);
      else document.lineTo(x, y);
    });
    document.lineWidth(WEIGHT[shape.weight]).stroke('black');
    return;
  }
  const text = latin(shape.text);
  document
    .font(FONT)
    .fontSize(shape.sizeMm)
    .fillColor(shape.inverse ? 'white' : 'black');
  const width = document.widthOfString(text);
  const x = shape.at[0] - (shape.anchor === 'start' ? 0 : shape.anchor === 'middle' ? width / 2 : width);
  document.text(text, x, shape.at[1], { lineBreak: false, baseline: 'alphabetic' });
}

/** A cross near each corner, in the middle of the overlap: on neighbouring pages the crosses must fall together. */
function overlapMarks({ pageWidthMm, pageHeightMm }: Tiling): Shape[] {
  const inset = OVERLAP_MM / 2;
  const ends = (pageMm: number) => [inset, pageMm - 2 * PAGE_MARGIN_MM - inset];
  return ends(pageWidthMm).flatMap((x) =>
    ends(pageHeightMm).flatMap((y): Shape[] => [
      {
        kind: 'line',
        weight: 'hair',
        points: [
          [x - CROSS_MM, y],
          [x + CROSS_MM, y],
        ],
      },
      {
        kind: 'line',
        weight: 'hair',
        points: [
          [x, y - CROSS_MM],
          [x, y + CROSS_MM],
        ],
      },
    ]),
  );
}

/** A rectangle that a shape keeps to: left, top, right, bottom. */
type Bounds = readonly [left: number, top: number, right: number, bottom: number];

function boundsOf(shape: Shape): Bounds {
  if (shape.kind === 'line') {
    const [xs, ys] = [shape.points.map(([x]) => x), shape.points.map(([, y]) => y)];
    const half = WEIGHT[shape.weight];
    return [Math.min(...xs) - half, Math.min(...ys) - half, Math.max(...xs) + half, Math.max(...ys) + half];
  }
  const [x, y] = shape.at;
  // No letter is wider than its size, and none is drawn far below the baseline.
  const reach = shape.kind === 'circle' ? shape.radiusMm + WEIGHT.line : shape.sizeMm * shape.text.length;
  const height = shape.kind === 'circle' ? reach : shape.sizeMm;
  return [x - reach, y - height, x + reach, y + height];
}

function drawPage(
  document: Document,
  { title, shapes }: Drawing,
  bounds: readonly Bounds[],
  tiling: Tiling,
  tile: Tile,
): void {
  const { pageWidthMm, pageHeightMm, rows, columns } = tiling;
  document.addPage({ size: [pageWidthMm * POINTS_PER_MM, pageHeightMm * POINTS_PER_MM], margin: 0 });
  document.scale(POINTS_PER_MM).translate(PAGE_MARGIN_MM, PAGE_MARGIN_MM);
  document.save();
  const [width, height] = [pageWidthMm - 2 * PAGE_MARGIN_MM, pageHeightMm - 2 * PAGE_MARGIN_MM];
  document.rect(0, 0, width, height).clip();
  document.translate(-tile.leftMm, -tile.topMm);
  const { leftMm, topMm } = tile;
  for (const [n, shape] of shapes.entries()) {
    const [left, top, right, bottom] = bounds[n];
    const isSeen = right >= leftMm && left <= leftMm + width && bottom >= topMm && top <= topMm + height;
    if (isSeen) draw(document, shape);
  }
  document.restore();
  if (rows * columns === 1) return;
  for (const mark of overlapMarks(tiling)) draw(document, mark);
  draw(document, {
    kind: 'text',
    at: [0, -3],
    sizeMm: NOTE_SIZE_MM,
    anchor: 'start',
    text: `${title}: page in row ${tile.row} of ${rows}, column ${tile.column} of ${columns}. Lay the crosses over one another.`,
  });
}

/**
 * The drawing as a PDF at true scale on A4 pages; one larger than a page is cut into pages that overlap by 10 mm.
 *
 * @returns the file's bytes
 */
export async function drawingPdf(drawing: Drawing): Promise<Uint8Array> {
  const { default: PDFDocument } = await import('pdfkit'); // large, and most verbs print nothing
  const document = new PDFDocument({ autoFirstPage: false, info: { Title: drawing.title } });
  const parts: Buffer[] = [];
  const finished = new Promise<Uint8Array>((resolve, reject) => {
    document.on('data', (part: Buffer) => parts.push(part));
    document.on('end', () => resolve(Buffer.concat(parts)));
    document.on('error', reject);
  });
  const tiling = tilesFor(drawing.widthMm, drawing.heightMm);
  const bounds = drawing.shapes.map(boundsOf);
  for (const tile of tiling.tiles) drawPage(document, drawing, bounds, tiling, tile);
  document.end();
  return finished;
}
