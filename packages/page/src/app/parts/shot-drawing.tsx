import type { Shot } from '@twolamp/session';
import type { JSX } from 'preact';

/** Room of the drawing, seen from above: the array at the bottom, the scene above it. */
const WIDTH = 260;
const HEIGHT = 200;
const FRONT = { y: 158, half: 44 };

function Lamp({ x, y, lit = true }: { x: number; y: number; lit?: boolean }): JSX.Element {
  return (
    <g class={lit ? '' : 'off'}>
      {lit && <circle class="halo-of-lamp" cx={x} cy={y} r="13" />}
      <circle class="lamp" cx={x} cy={y} r="6" />
    </g>
  );
}

/** A lamp's place on the drawing; across is spread so that near places can be told apart. */
function place(acrossMm: number, distanceMm: number, widestMm: number): { x: number; y: number } {
  const share = widestMm > 0 ? acrossMm / widestMm : 0;
  const y = 40 + 45 * Math.exp(-distanceMm / 3000);
  return { x: WIDTH / 2 + share * 88, y };
}

function scene(shot: Shot): JSX.Element | null {
  switch (shot.kind) {
    case 'pair': {
      const { x, y } = place(shot.acrossMm, shot.distanceMm, Math.max(300, Math.abs(shot.acrossMm)));
      const turned = (shot.turnedDeg * Math.PI) / 180;
      const dx = 22 * Math.cos(turned);
      const dy = -22 * Math.sin(turned);
      return (
        <g>
          <path class="measure" d={`M${WIDTH / 2} ${FRONT.y - 10}V${y + 16}`} />
          <Lamp x={x - dx} y={y - dy} />
          <Lamp x={x + dx} y={y + dy} />
        </g>
      );
    }
    case 'lamp': {
      const { x, y } = place(shot.acrossMm, shot.distanceMm, Math.max(100, Math.abs(shot.acrossMm)));
      const up = shot.upMm === 0 ? '' : shot.upMm > 0 ? '↑' : '↓';
      return (
        <g>
          <path class="measure" d={`M${WIDTH / 2} ${FRONT.y - 10}L${x} ${y + 16}`} />
          <Lamp x={x} y={y} />
          <text x={x + 18} y={y + 5}>
            {up}
          </text>
        </g>
      );
    }
    case 'even':
      return (
        <g class="even-light">
          {[-3, -2, -1, 0, 1, 2, 3].map((i) => (
            <path key={i} d={`M${WIDTH / 2 + i * 14} 36V${FRONT.y - 16}`} />
          ))}
          <path class="wall" d={`M${WIDTH / 2 - 70} 28H${WIDTH / 2 + 70}`} />
        </g>
      );
    case 'bare':
      return (
        <g class="even-light">
          {[-3, -2, -1, 0, 1, 2, 3].map((i) => (
            <path key={i} d={`M${WIDTH / 2 + i * 14} 36V${FRONT.y + 16}`} />
          ))}
          <path class="wall" d={`M${WIDTH / 2 - 70} 28H${WIDTH / 2 + 70}`} />
        </g>
      );
    case 'single':
      return (
        <g>
          <path
            class="card"
            d={`M${WIDTH / 2 - 60} ${FRONT.y - 8}H${WIDTH / 2 - 3}M${WIDTH / 2 + 3} ${FRONT.y - 8}H${WIDTH / 2 + 60}`}
          />
          <path class="measure" d={`M${WIDTH / 2} 60V${FRONT.y - 2}`} />
          <Lamp x={WIDTH / 2} y={44} />
        </g>
      );
    case 'dark':
      return (
        <g>
          <Lamp x={WIDTH / 2 - 22} y={44} lit={false} />
          <Lamp x={WIDTH / 2 + 22} y={44} lit={false} />
        </g>
      );
  }
}

/** Where the light stands for a shot, seen from above. The words beside it say the same. */
export function ShotDrawing({ shot }: { shot: Shot }): JSX.Element {
  const { y, half } = FRONT;
  return (
    <svg class="shot-drawing" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
      {scene(shot)}
      {shot.kind !== 'bare' && (
        <g class="tubes" stroke-width="4">
          {Array.from({ length: 9 }, (_, i) => (i - 4) / 4).map((share) => (
            <path
              key={share}
              d={`M${WIDTH / 2 + share * half} ${y}L${WIDTH / 2 + share * half * 0.72} ${y + 26}`}
            />
          ))}
        </g>
      )}
      <path class="sheet" d={`M${WIDTH / 2 - half * 0.8} ${y + 31}H${WIDTH / 2 + half * 0.8}`} />
    </svg>
  );
}
