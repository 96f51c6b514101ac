import { html, type SafeHtml } from '../html/html.js';
import { type Drawing, type Shape, WEIGHT } from './drawing.js';

const INK = '#000';

function mm(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

function shapeMarkup(shape: Shape): SafeHtml {
  if (shape.kind === 'circle') {
    const [x, y] = shape.at.map(mm);
    return html`<circle cx="${x!}" cy="${y!}" r="${mm(shape.radiusMm)}" fill="${shape.filled ? INK : 'none'}" stroke="${INK}" stroke-width="${WEIGHT.line}"/>`;
  }
  if (shape.kind === 'line') {
    const points = shape.points.map((point) => point.map(mm).join(',')).join(' ');
    return html`<polyline points="${points}" fill="none" stroke="${INK}" stroke-width="${WEIGHT[shape.weight]}"/>`;
  }
  const [x, y] = shape.at.map(mm);
  return html`<text x="${x!}" y="${y!}" font-size="${mm(shape.sizeMm)}" text-anchor="${shape.anchor}" fill="${shape.inverse ? '#fff' : INK}">${shape.text}</text>`;
}

/** The drawing as an SVG document at true scale: one user unit is one millimetre. */
export function drawingSvg({ title, widthMm, heightMm, shapes }: Drawing): string {
  const [width, height] = [mm(widthMm), mm(heightMm)];
  const markup = html`<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" font-family="Helvetica, Arial, sans-serif"><title>${title}</title><rect width="${width}" height="${height}" fill="#fff"/>${shapes.map(shapeMarkup)}</svg>
`;
  return markup.markup;
}
