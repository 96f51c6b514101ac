import { drawMap } from '@twolamp/places';
import { InputError, type ShotPhoto } from '@twolamp/session';

/**
 * The map that an even shot shows, ready to be pasted into session.yaml's array block.
 *
 * @returns null where no lattice shows
 */
export function mapHint(photo: ShotPhoto, name: string): string | null {
  try {
    const { arrangement, shiftedRows, tubes, map } = drawMap(photo, name);
    const shifted = shiftedRows === null ? '' : `  shifted-rows: ${shiftedRows}\n`;
    return (
      `${name} shows ${tubes} tubes in ${map.length} rows × ${map[0]?.length ?? 0} columns. As it looks, for the array block ` +
      'of session.yaml (# a tube, o a hole without a tube, . no hole). Dark tubes show as o: write # for them, and leave the map out ' +
      'where every place has a tube.\n\n' +
      `  arrangement: ${arrangement}\n${shifted}  rows: ${map.length}\n  columns: ${map[0]?.length ?? 0}\n  map: |\n` +
      map.map((line) => `    ${line}\n`).join('')
    );
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return null;
  }
}
