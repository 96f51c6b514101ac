import type { Draw } from './draw.js';
import { oddNumber, oddText } from './odd-values.js';

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

interface Spot {
  readonly holder: Record<string, Json> | Json[];
  readonly key: string;
}

/** A place in the tree, reached by a walk down that stops anywhere. */
function spotIn(tree: Json, draw: Draw): Spot {
  let holder = tree as Spot['holder'];
  for (;;) {
    const key = draw.pick(Object.keys(holder));
    const value = (holder as Record<string, Json>)[key]!;
    const goesOn = typeof value === 'object' && value !== null && Object.keys(value).length > 0;
    if (!goesOn || draw.chance(0.15)) return { holder, key };
    holder = value as Spot['holder'];
  }
}

function changed(value: Json, draw: Draw): Json | undefined {
  if (draw.chance(0.08)) return undefined; // taken out
  if (draw.chance(0.08)) return draw.pick<Json>([null, true, 0, '', [], {}, [[]], 'text']);
  if (typeof value === 'number') return oddNumber(draw, value);
  if (typeof value === 'string') return oddText(draw);
  if (typeof value === 'boolean') return !value;
  if (Array.isArray(value)) {
    const half = value.slice(0, Math.floor(value.length / 2));
    return draw.pick<Json>([
      half,
      [...value, ...half],
      [...value].reverse(),
      value.slice(1),
      [...value, null],
    ]);
  }
  return draw.pick<Json>([null, [value as Json], {}]);
}

/** JSON with one to three of its values changed, taken out or doubled. */
export function mutatedJson(text: string, draw: Draw): string {
  const tree = JSON.parse(text) as Json;
  for (let n = draw.whole(1, 3); n > 0; n--) {
    const { holder, key } = spotIn(tree, draw);
    const value = changed((holder as Record<string, Json>)[key]!, draw);
    if (value !== undefined) (holder as Record<string, Json>)[key] = value;
    else if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else delete holder[key];
  }
  const written = JSON.stringify(tree);
  if (!draw.chance(0.05)) return written;
  const at = draw.whole(0, written.length - 1);
  return draw.pick([
    written.slice(0, at),
    `${written.slice(0, at)}\u0000${written.slice(at)}`,
    `\ufeff${written}`,
  ]);
}
