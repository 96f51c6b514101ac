import type { MatchedTube } from './matched-tubes.js';

/** Distance within which tubes mix their light on the sheet, pitches: neighbours in a row and across the corner. */
const BESIDE_PITCHES = 1.5;

/** Tolerance: healthy tubes stay below, and mix no more light than their own scatter shows. */
const BRIGHT = 1.3;

/**
 * Light of the brightest tube beside each, in either session, in units of a typical tube; 1 where none is brighter.
 *
 * @param pitchMm - between tubes at the sheet
 */
export function lightBeside(tubes: readonly MatchedTube[], pitchMm: number): number[] {
  const light = tubes.map(({ earlier, later }) =>
    Math.max(1, earlier.transmission.relative ?? 0, later.transmission.relative ?? 0),
  );
  const beside = tubes.map(() => 1);
  const bright = tubes.flatMap((tube, k) => (light[k] > BRIGHT ? [{ tube, k }] : []));
  for (const { tube, k } of bright) {
    const { across, up } = tube.earlier.atMm;
    tubes.forEach(({ earlier: { atMm } }, n) => {
      if (n === k || Math.hypot(atMm.across - across, atMm.up - up) > BESIDE_PITCHES * pitchMm) return;
      beside[n] = Math.max(beside[n], light[k]);
    });
  }
  return beside;
}
