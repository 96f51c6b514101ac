import type { LampShot, PairShot } from './session-format.js';

/** Where a shot's lamp or lamps stand, from the middle of the front face: across to the right, then up, mm. */
export function lampsOf(shot: LampShot | PairShot): [acrossMm: number, upMm: number][] {
  if (shot.kind === 'lamp') return [[shot.acrossMm, shot.upMm]];
  const turned = (shot.turnedDeg * Math.PI) / 180;
  const [across, up] = [(shot.spacingMm / 2) * Math.cos(turned), (shot.spacingMm / 2) * Math.sin(turned)];
  return [
    [shot.acrossMm - across, shot.upMm - up],
    [shot.acrossMm + across, shot.upMm + up],
  ];
}
