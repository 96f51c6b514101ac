import type { TubePointing } from '../pointing/measure-pointing.js';

/** One plain sentence for each fault: what was measured, and what it means. Directions as seen from the back. */

function percent(share: number): string {
  const value = 100 * share;
  return `${value < 1 ? value.toFixed(1) : value.toFixed(0)} %`;
}

/** Where something lies, as a person says it: "right", "left and up". */
function side(acrossDeg: number, upDeg: number): string {
  const words = [
    { word: acrossDeg > 0 ? 'right' : 'left', size: Math.abs(acrossDeg) },
    { word: upDeg > 0 ? 'up' : 'down', size: Math.abs(upDeg) },
  ];
  const most = Math.max(...words.map((one) => one.size));
  return words
    .filter((one) => one.size > 0.35 * most)
    .map((one) => one.word)
    .join(' and ');
}

function looksAside(look: TubePointing): string {
  const { acrossDeg, upDeg, totalDeg } = look.error!;
  return `It looks ${totalDeg.toFixed(2)}° too far ${side(acrossDeg, upDeg)} against its neighbours`;
}

/** @param lit - whether a leaky neighbour lights it */
export function blocked(share: number, lit: boolean): string {
  const found = `It passes ${percent(Math.max(0, share))} of what the tubes around it pass`;
  return lit
    ? `${found}, and that leaks into it from a neighbour: of its own as good as nothing.`
    : `${found}: as good as nothing.`;
}

export function open(share: number): string {
  return `It passes ${share.toFixed(1)} times what the tubes around it pass: the hole is empty, or the tube too wide.`;
}

export function leaky(worst: { row: number; column: number; share: number }, total: number): string {
  return (
    `Of the light that enters it ${percent(worst.share)} comes out at row ${worst.row}, column ${worst.column}` +
    ` (${percent(total)} outside it in all), well above what other tubes send to a neighbour.`
  );
}

export function weak(share: number, swept: boolean, pointed: boolean): string {
  const found = `It passes ${percent(share)} of what the tubes around it pass`;
  if (!swept)
    return `${found}; lamp shots from many places would tell whether it is bent, misaimed or dirty.`;
  if (!pointed)
    return `${found}; its direction is not known, and lamps closer together would tell whether it is bent.`;
  return `${found}, and looks where it should: dirt, a crushed end, or a bow in a tube without gloss.`;
}

/** @param to - the neighbour that gets the light */
export function maybeLeaky(
  share: number,
  here: { row: number; column: number },
  to: { row: number; column: number; share: number },
): string {
  return (
    `It passes ${percent(share)} of what the tubes around it pass, and row ${to.row}, column ${to.column} beside it` +
    ` ${percent(to.share)} too much: it may leak into that one; a single shot of row ${here.row}, column ${here.column} would tell.`
  );
}

/** @param directionRad - where the middle stands out, anticlockwise from right; null = not known */
export function tracedBent(share: number, bowMm: number, directionRad: number | null): string {
  const middle =
    directionRad === null
      ? ''
      : `, its middle too far ${side(Math.cos(directionRad), Math.sin(directionRad))}`;
  return (
    `It passes ${percent(share)} of what the tubes around it pass, and answers the lamps as a tube bowed by some ` +
    `${bowMm.toFixed(1)} mm would${middle}; no straight tube does.`
  );
}

export function bent(look: TubePointing, share: number, bowMm: number): string {
  const times = Math.exp(look.widening.value);
  const signs = [
    ...(times > 1.03 ? [`sees ${times.toFixed(2)} times as wide`] : []),
    ...(look.ownShape ? ['sees lopsided or blunt'] : []),
    ...(share < 0.97 ? [`passes ${percent(share)} of their light`] : []),
  ];
  if (signs.length === 0) signs.push('sees in a slightly other shape');
  return `${looksAside(look)}, ${signs.join(', ')}: bowed by some ${bowMm.toFixed(1)} mm.`;
}

/** @param bowMm - null where the walls aren't known */
export function dimlyBent(share: number, bowMm: number | null): string {
  const bowed = bowMm === null ? 'bowed' : `bowed by some ${bowMm.toFixed(1)} mm`;
  return (
    `It passes ${percent(share)} of what the tubes around it pass and looks where it should, but sees in another shape ` +
    `than they do: ${bowed}, or something lies across its bore.`
  );
}

/** @param bowMm - that would look much the same; null where nothing speaks for one */
export function misaimed(look: TubePointing, shiftMm: number, bowMm: number | null): string {
  const found = `${looksAside(look)}, and else sees and passes light as they do: its front end sits ${shiftMm.toFixed(1)} mm off`;
  return bowMm === null
    ? `${found}.`
    : `${found}; it may also be bowed by some ${bowMm.toFixed(1)} mm, which lamps closer together would tell.`;
}

export function looksFarAside(gap: 'dark' | 'beyond the sweep', share: number): string {
  const found = gap === 'dark' ? 'no lamp of the sweep lights it' : 'it looks past the rim of the sweep';
  return (
    `It passes ${percent(share)} of what the tubes around it pass, but ${found}, though its neighbours are lit: ` +
    'it looks far aside, bent or misaimed; a wider sweep would tell.'
  );
}
