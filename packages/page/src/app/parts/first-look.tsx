import type { FirstLook as Look } from '@twolamp/cells';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** Below this share of the typical light a tube is marked at first sight. */
const DIM = 0.5;
/** Circles are drawn finer than the reduced picture's pixels. */
const SCALE = 2;
/** Display of linear light; the picture is only looked at. */
const GAMMA = 1 / 2.2;

function draw(canvas: HTMLCanvasElement, { picture, x, y, pitchPx, light }: Look): void {
  const { width, height, data } = picture;
  const grey = new ImageData(width, height);
  const top = data.reduce((most, value) => Math.max(most, value), 0) || 1;
  data.forEach((value, n) => {
    const code = 255 * Math.max(0, value / top) ** GAMMA;
    grey.data.set([code, code, code, 255], 4 * n);
  });
  const photo = new OffscreenCanvas(width, height);
  photo.getContext('2d')!.putImageData(grey, 0, 0);
  canvas.width = SCALE * width;
  canvas.height = SCALE * height;
  const context = canvas.getContext('2d')!;
  context.drawImage(photo, 0, 0, canvas.width, canvas.height);
  const style = getComputedStyle(canvas);
  light.forEach((share, k) => {
    context.beginPath();
    // The middle of the first pixel lies at 0.
    context.arc(SCALE * (x[k]! + 0.5), SCALE * (y[k]! + 0.5), (SCALE * pitchPx) / 2.4, 0, 2 * Math.PI);
    context.lineWidth = share < DIM ? 3 : 1;
    context.strokeStyle = style.getPropertyValue(share < DIM ? '--look-dim' : '--look-ring');
    context.stroke();
  });
}

/** The even shot with the tubes that were found in it, while their light is being measured. */
export function FirstLook({ look }: { look: Look }): JSX.Element {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (canvas.current) draw(canvas.current, look);
  }, [look]);
  const dim = look.light.reduce((count, share) => count + (share < DIM ? 1 : 0), 0);
  const says = `${look.light.length} tubes found${dim === 0 ? '' : `; ${dim} of them, in thick rings, are darker than half of a typical tube`}.`;
  return (
    <figure class="first-look">
      <canvas ref={canvas} role="img" aria-label={`The even shot. ${says}`} />
      <figcaption>First look: {says} Their light is being measured; the map follows.</figcaption>
    </figure>
  );
}
