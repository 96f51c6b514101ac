import type { Result } from '@twolamp/session';
import sharp from 'sharp';

/** A picture of the made-up even shot, 1008 × 756 pixels, as a data address: each tube a soft spot as bright as it passes light. */
export async function examplePicture(result: Result): Promise<string> {
  const [width, height, scale] = [1008, 756, 4];
  const spots = result.cells.map(({ xPx, yPx, transmission }) => {
    const grey = Math.round(255 * Math.min(1, 0.72 * (transmission.relative ?? 0)));
    return `<circle cx="${xPx / scale}" cy="${yPx / scale}" r="11" fill="rgb(${grey},${Math.round(grey * 0.93)},${Math.round(grey * 0.8)})"/>`;
  });
  const drawing = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="100%" height="100%" fill="#0d0a08"/>${spots.join('')}</svg>`;
  const jpeg = await sharp(Buffer.from(drawing)).blur(2.5).jpeg({ quality: 80 }).toBuffer();
  return `data:image/jpeg;base64,${jpeg.toString('base64')}`;
}
