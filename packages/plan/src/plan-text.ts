import { type ArraySpec, lengthText, type ShotDraft } from '@twolamp/session';
import type { Plan } from './plan.js';
import type { WallPrediction } from './predict-wall.js';

/** Below this many sightings a tube's pointing can't be told from the sweep. */
const SIGHTINGS_NEEDED = 3;
/** Nobody shoots a longer sweep by hand. */
const MOST_PLACES = 400;

const metres = (mm: number) => `${(mm / 1000).toPrecision(3)} m`;
const degrees = (deg: number) => `${deg.toPrecision(2)}°`;

function time(seconds: number): string {
  if (seconds < 1) return `${seconds.toPrecision(2)} s`;
  if (seconds < 120) return `${Math.round(seconds)} s`;
  return seconds < 7200 ? `${Math.round(seconds / 60)} min` : `${(seconds / 3600).toPrecision(2)} h`;
}

function distance({ resolving }: WallPrediction): string {
  if (resolving.bound === 'nearer') return 'at no distance';
  return `up to ${metres(resolving.distanceMm)} (${degrees(resolving.angleDeg)})`;
}

function wallName(one: WallPrediction): string {
  return one.wall === 'as stated' ? 'with the wall as stated' : `with a ${one.wall} wall`;
}

function predictionText(one: WallPrediction): string {
  const exposure = one.exposureS === null ? '' : `, exposure ${time(one.exposureS)}`;
  return (
    `- ${wallName(one)}: the two lamps show as two ${distance(one)}; a tube sees ${degrees(one.acceptanceWidthDeg)} ` +
    `wide; light as behind a lens at f/${one.fNumber.toPrecision(2)}${exposure}.`
  );
}

function samplingText(one: WallPrediction, { backPitchMm, frontPitchMm }: ArraySpec): string {
  const cells = `one lamp’s light covers ${one.spreadCells.toPrecision(2)}`;
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
  if (bench.stopped === 'step-limit') {
    return (
      'No spacing of the lamps brings the criterion inside this room by theory. The shots are planned all the same ' +
      `with ${bench.spacingMm} mm, and the result will be a bound.`
    );
  }
  if (bench.spacingMm === request.spacingMm) return null;
  return (
    `Shoot with the lamps ${bench.spacingMm} mm apart instead of ${request.spacingMm} mm: then they merge inside this ` +
    'room, so that the distance can be measured. The resolving angle it gives holds for any spacing.'
  );
}

/** Where on the dip the pairs lie, so that a builder sees that the criterion is crossed between them. */
function expectedText({ expected, predictions, bench, request }: Plan): string {
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

function sweepText({ sweep, predictions }: Plan): string | null {
  const least = Math.min(...sweep.sightings);
  if (least >= SIGHTINGS_NEEDED) return null;
  const wall = wallName(predictions[sweep.sightings.indexOf(least)]!);
  const places = Math.ceil((sweep.places * SIGHTINGS_NEEDED) / least);
  const cure =
    places > MOST_PLACES
      ? 'no sweep of a bearable length finds the pointing of every such tube'
      : `to find every tube’s pointing the sweep would need about ${places} places over the same field`;
  return `A tube ${wall} sees the lamp in about ${least.toPrecision(1)} of the ${sweep.places} places of the sweep; ${cure}.`;
}

function shotText(shot: ShotDraft): string {
  switch (shot.kind) {
    case 'lamp':
      return `one lamp: across ${shot.acrossMm} mm, up ${shot.upMm} mm, distance ${lengthText(shot.distanceMm!)}`;
    case 'pair':
      return `two lamps ${shot.spacingMm} mm apart side by side, their middle across ${shot.acrossMm} mm, distance ${lengthText(shot.distanceMm!)}`;
    case 'single':
      return `one tube alone: row ${shot.row}, column ${shot.column} seen from the back`;
    case 'dark':
      return 'lamps off, room as it is during the shots';
    case 'even':
      return 'the front face evenly lit: overcast sky, lit white wall or diffuser';
    case 'bare':
      return 'the sheet alone in the same even light, array taken away';
  }
}

/**
 * The plan in words: what to expect, what to mind, what to shoot.
 *
 * @param cautions - sentences about safety, printed at the end
 */
export function planText(plan: Plan, cautions: readonly string[]): string {
  const { request, predictions, openArea, bench, session } = plan;
  const { array } = request;
  const remarks = [
    ...bench.predictions.map((one) => samplingText(one, array)),
    spacingText(plan),
    expectedText(plan),
    sweepText(plan),
    request.known === undefined
      ? null
      : `Exposures are scaled from ${time(request.known.exposureS)} at f/${request.known.fNumber}; paper and film that ` +
        'tire in long exposures need more.',
    predictions.some((one) => one.stated)
      ? null
      : 'How glossy the walls are decides nearly everything, and only a measurement tells it: real tubes lie between the two.',
  ].filter((text) => text !== null);
  const sections: [string, string[]][] = [
    [
      `${array.name}: what to expect of two lamps ${request.spacingMm} mm apart (criterion: ${request.criterion.name})`,
      [
        ...predictions.map(predictionText),
        `- ${Math.round(openArea * 100)} % of the sheet lies behind bores; the f-numbers are those inside a tube’s spot.`,
      ],
    ],
    ['Mind', remarks.map((text) => `- ${text}`)],
    [
      'Shots',
      [
        'Camera on a stand, focused on the sheet, exposure and focus fixed by hand; nothing moves between shots.',
        ...session.shots.map((shot) => `[ ] ${shot.photo}  ${shotText(shot)}`),
      ],
    ],
    ['Cautions', cautions.map((text) => `- ${text}`)],
  ];
  return sections.map(([title, lines]) => `${title}\n${lines.join('\n')}\n`).join('\n');
}
