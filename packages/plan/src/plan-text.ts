import { type ArraySpec, lengthText, type ShotDraft } from '@twolamp/session';
import { LAMPS_FOR_A_DIRECTION } from './lamp-places.js';
import { missingShots } from './missing-shots.js';
import type { OuterSize } from './outer-size.js';
import type { Plan, PlannedList } from './plan.js';
import type { WallPrediction } from './predict-wall.js';
import { significant } from '@twolamp/words';
import { CAMERA } from './start-exposure.js';

/** The session file that each list is written to. */
export const SESSION_FILES: Readonly<Record<PlannedList['name'], string>> = {
  evening: 'session-evening.yaml',
  thorough: 'session-thorough.yaml',
};

/** Nobody shoots a longer sweep by hand. */
const MOST_PLACES = 400;

const metres = (mm: number) => `${significant(mm / 1000, 3)} m`;
const degrees = (deg: number) => `${significant(deg, 2)}°`;

function time(seconds: number): string {
  if (seconds < 1) return `${significant(seconds, 2)} s`;
  if (seconds < 120) return `${Math.round(seconds)} s`;
  return seconds < 7200 ? `${Math.round(seconds / 60)} min` : `${significant(seconds / 3600, 2)} h`;
}

function distance({ resolving }: WallPrediction): string {
  if (resolving.bound === 'nearer') return 'at no distance';
  return `up to ${metres(resolving.distanceMm)} (${degrees(resolving.angleDeg)})`;
}

const upper = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

function wallName(one: WallPrediction): string {
  return one.wall === 'as stated' ? 'with the wall as stated' : `with a ${one.wall} wall`;
}

function predictionText(one: WallPrediction): string {
  const exposure = one.exposureS === null ? '' : `, exposure ${time(one.exposureS)}`;
  return (
    `- ${wallName(one)}: the two lamps show as two ${distance(one)}; a tube sees ${degrees(one.acceptanceWidthDeg)} ` +
    `wide; light as behind a lens at f/${significant(one.fNumber, 2)}${exposure}.`
  );
}

function samplingText(one: WallPrediction, { backPitchMm, frontPitchMm }: ArraySpec): string {
  const cells = `one lamp’s light covers ${significant(one.spreadCells, 2)}`;
  if (!one.undersampled)
    return `Well sampled ${wallName(one)}: ${cells} cells, so that no lamp is lost between tubes.`;
  const cure =
    one.cureFrontPitchMm === null
      ? `No front pitch cures that with a back pitch of ${backPitchMm} mm: it takes wider or shorter tubes.`
      : `A front pitch of at most ${one.cureFrontPitchMm.toFixed(2)} mm instead of ${frontPitchMm} mm would cure it.`;
  return (
    `Undersampled ${wallName(one)}: ${cells} of a cell, so that lamps can fall into blind gaps between tubes, and a ` +
    `pair’s fate depends on where it lies. ${cure}`
  );
}

function spacingText({ request, bench }: Plan): string | null {
  const planned = `The shots are planned with lamps ${bench.spacingMm} mm apart.`;
  if (bench.inside === 'none') {
    return (
      `By theory the lamps do not merge between the nearest and the farthest place in this room. ${planned} The result ` +
      'may then be a limit, not a distance.'
    );
  }
  if (bench.inside === 'some') {
    return (
      `How glossy the walls are is not known, and the lamps merge inside this room for only some of the walls. ${planned} ` +
      'If the result is only a limit, shoot again with another spacing.'
    );
  }
  if (bench.spacingMm === request.spacingMm) return null;
  return (
    `Shoot with the lamps ${bench.spacingMm} mm apart instead of ${request.spacingMm} mm: then they merge inside this ` +
    'room, so that the distance can be measured. The resolving angle it gives holds for any spacing.'
  );
}

/** Where on the dip the pairs lie, so that a builder sees that the criterion is crossed between them. */
function expectedText({ predictions, bench, request }: Plan, { expected }: PlannedList): string {
  const walls = predictions.map(wallName).join(', ');
  const dips = expected.map((one) => {
    const values = one.dips.map((dip) => dip.toFixed(2)).join(' and ');
    return `${lengthText(one.distanceMm)} ${values}`;
  });
  return (
    `Dips to expect with ${bench.spacingMm} mm (${walls}; ${request.criterion.requiredDip} and more counts as separate): ` +
    `${dips.join('; ')}.`
  );
}

/** How many lamps light a tube, and what that means for its pointing; the cure is that of the worst wall. */
function lampsText({ predictions }: Plan, { lamps }: PlannedList): string {
  const each = predictions
    .map((one, n) => `${significant(lamps.sightings[n]!, 1)} ${wallName(one)}`)
    .join(', ');
  const lit = `On average, this many of its ${lamps.places} lamp places light a tube: ${each}.`;
  const least = Math.min(...lamps.sightings);
  if (least >= LAMPS_FOR_A_DIRECTION) return `${lit} That is enough to find where the tubes look.`;
  const worst = wallName(predictions[lamps.sightings.indexOf(least)]!);
  const places = Math.ceil((lamps.places * LAMPS_FOR_A_DIRECTION) / least);
  const cure =
    places > MOST_PLACES
      ? `${upper(worst)}, no sweep of a practical length finds where every tube looks.`
      : `${upper(worst)}, about ${places} places over the same field would be needed to find where every tube looks.`;
  return (
    `${lit} Bent and misaimed tubes are found only where at least ${LAMPS_FOR_A_DIRECTION} places light them; the report says which ` +
    `tubes it cannot judge. ${cure}`
  );
}

/** What a list of shots tells, in words. */
export const TELLS: Readonly<Record<PlannedList['name'], string>> = {
  evening:
    'Tells: how far two lamps stay separate; which tubes are blocked, weak or open; how much light a tube passes; and, of ' +
    'tubes that three or more lamps light, where they look. Without the lamp shots it still tells all but the last.',
  thorough:
    'Tells: everything the evening tells, more surely; of tubes that three or more lamps light, whether they are bent or ' +
    'misaimed; crosstalk between tubes.',
};

const TITLES: Readonly<Record<PlannedList['name'], string>> = {
  evening: 'The short evening',
  thorough: 'The thorough session',
};

function listSection(plan: Plan, list: PlannedList, whole = true): [string, string[]] {
  const { shots } = list.session;
  const absent = missingShots(list.session).map(({ says }) => says);
  return [
    `${TITLES[list.name]}: ${shots.length} photos, in walking order (${SESSION_FILES[list.name]})`,
    [
      TELLS[list.name],
      ...(absent.length === 0 ? [] : [`What it leaves open: ${absent.join('. ')}.`]),
      lampsText(plan, list),
      expectedText(plan, list),
      ...(whole
        ? shots.map((shot) => `[ ] ${shot.photo}  ${shotText(shot)}`)
        : ['Its shots are listed in plan.txt.']),
    ],
  ];
}

/** Exposures to start from, in words: a remark, and a line a wall. */
export function exposureText({ exposures, predictions }: Plan): string[] {
  return [
    `First guess for a phone at f/${CAMERA.fNumber} and ISO ${CAMERA.iso}; lamps, walls and paper differ by several stops. The ` +
      'brightest spots should come to about three quarters of full scale and none may be clipped. Use one exposure for all ' +
      'dark, even and bare shots, and one for each kind of lamp shot.',
    ...exposures.map(
      (one, n) =>
        `- ${wallName(predictions[n]!)}: even shot under an overcast sky ${time(one.overcastSkyS)}, before a lit white ` +
        `wall ${time(one.litWallS)}; lamp of some 100 lumens ${time(one.lampS)}.`,
    ),
  ];
}

/** A place beside the array's axis, seen from the back. */
function placeText(acrossMm: number, upMm: number): string {
  if (acrossMm === 0 && upMm === 0) return 'straight ahead';
  const sides = [
    acrossMm === 0 ? null : `${Math.abs(acrossMm)} mm to the ${acrossMm > 0 ? 'right' : 'left'}`,
    upMm === 0 ? null : `${Math.abs(upMm)} mm ${upMm > 0 ? 'up' : 'down'}`,
  ];
  return sides.filter((side) => side !== null).join(' and ');
}

function turnText(turnedDeg: number): string {
  if (turnedDeg === 0) return 'side by side';
  return Math.abs(turnedDeg) === 90 ? 'one above the other' : `turned by ${turnedDeg}°`;
}

/** What a shot asks for, in words. */
export function shotText(shot: ShotDraft): string {
  switch (shot.kind) {
    case 'lamp':
      return `one lamp ${lengthText(shot.distanceMm!)} away, ${placeText(shot.acrossMm!, shot.upMm!)}`;
    case 'pair':
      return `two lamps ${shot.spacingMm} mm apart, ${turnText(shot.turnedDeg!)}, ${lengthText(shot.distanceMm!)} away, ${placeText(shot.acrossMm!, shot.upMm!)}`;
    case 'single':
      if (shot.row === 0) return 'one tube alone, whichever you like';
      return `one tube alone: row ${shot.row}, column ${shot.column} seen from the back`;
    case 'dark':
      return 'lamps off, room as it is during the shots';
    case 'even':
      return 'the front face evenly lit: overcast sky, lit white wall or diffuser';
    case 'bare':
      return 'the sheet alone in the same even light, array taken away';
  }
}

const size = ({ acrossMm, upMm }: OuterSize) => `${Math.round(acrossMm)} × ${Math.round(upMm)} mm`;

/** What a builder should know before shooting, a sentence or two each. */
export function planRemarks(plan: Plan): string[] {
  const { request, predictions, bench } = plan;
  return [
    ...bench.predictions.map((one) => samplingText(one, request.array)),
    spacingText(plan),
    request.known === undefined
      ? null
      : `Exposures of paper or film are scaled from ${time(request.known.exposureS)} at f/${request.known.fNumber}. ` +
        'Most papers and films need more in long exposures (reciprocity failure): see the maker’s data.',
    predictions.some((one) => one.stated)
      ? null
      : 'Real tubes lie between a matte and a glossy wall. Only a measurement tells where.',
  ].filter((text) => text !== null);
}

/**
 * The plan in words: what to expect, what to shoot on a short evening and in a thorough session, exposures to start from.
 *
 * @param cautions - sentences about safety, printed at the end
 * @param shown - `evening`: the long list's shots are left out, for a screen
 */
export function planText(plan: Plan, cautions: readonly string[], shown: 'all' | 'evening' = 'all'): string {
  const { request, predictions, openArea } = plan;
  const { array } = request;
  const sections: [string, string[]][] = [
    [
      `${array.name}: what to expect of two lamps ${request.spacingMm} mm apart (criterion: ${request.criterion.name})`,
      [
        ...predictions.map(predictionText),
        `- ${Math.round(openArea * 100)} % of the sheet lies behind bores; the f-numbers are those inside a tube’s spot.`,
        `- Outer size of the tubes: ${size(plan.size.back)} at the sheet, ${size(plan.size.front)} at the front grid, ` +
          `${array.tubeLengthMm} mm deep.`,
      ],
    ],
    ['What to know before you shoot', planRemarks(plan).map((text) => `- ${text}`)],
    ['Exposure to start from', exposureText(plan)],
    [
      'Set-up for both lists',
      [
        'Camera on a stand behind the array, focused on the sheet, exposure and focus fixed by hand. Only the lamps move between shots.',
        'Places are measured from the middle of the front face. Left and right are as the camera sees them, from the back: ' +
          'whoever stands with the lamps has them the other way round. See bench.svg and camera.svg.',
      ],
    ],
    listSection(plan, plan.evening),
    listSection(plan, plan.thorough, shown === 'all'),
    ['Cautions', cautions.map((text) => `- ${text}`)],
  ];
  return sections.map(([title, lines]) => `${title}\n${lines.join('\n')}\n`).join('\n');
}
