/** Light of a coded value, both 0 to 1. */
export type Decode = (value: number) => number;

const TAG_TABLE_AT = 128;
const TAG_BYTES = 12;
/** A profile of a photo has some ten tags. */
const MOST_TAGS = 100;

const text = (view: DataView, at: number) =>
  String.fromCharCode(...[0, 1, 2, 3].map((n) => view.getUint8(at + n)));

/** s15Fixed16Number. */
const fixed = (view: DataView, at: number) => view.getInt32(at) / 65536;

/** Values at even places from 0 to 1, interpolated. */
function sampled(view: DataView, at: number, count: number): Decode {
  return (value) => {
    const place = Math.min(1, Math.max(0, value)) * (count - 1);
    const before = Math.min(count - 2, Math.floor(place));
    const [low, high] = [view.getUint16(at + 2 * before), view.getUint16(at + 2 * before + 2)];
    return (low + (place - before) * (high - low)) / 65535;
  };
}

function curveType(view: DataView, at: number): Decode {
  const count = view.getUint32(at + 8);
  if (count === 0) return (value) => value;
  if (count === 1) {
    const gamma = view.getUint16(at + 12) / 256;
    return (value) => value ** gamma;
  }
  view.getUint16(at + 12 + 2 * (count - 1)); // the whole table lies in the profile
  return sampled(view, at + 12, count);
}

/** Parameters g a b c d e f that each function type states; the others follow from them. */
const PARAMETERS = [1, 3, 4, 5, 7];

function parametricType(view: DataView, at: number): Decode | null {
  const kind = view.getUint16(at + 8);
  const count = PARAMETERS[kind];
  if (count === undefined) return null;
  const [g = 1, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = Array.from({ length: count }, (_, n) =>
    fixed(view, at + 12 + 4 * n),
  );
  const power = (value: number) => Math.max(0, a * value + b) ** g;
  if (kind === 0) return (value) => value ** g;
  if (kind === 1) return (value) => (value >= -b / a ? power(value) : 0);
  if (kind === 2) return (value) => (value >= -b / a ? power(value) + c : c);
  return (value) => (value >= d ? power(value) + e : c * value + f);
}

/**
 * How a photo's codes stand for light, by its embedded colour profile: the tone curve of the green channel, or of grey.
 * Phones' Display P3 has that of sRGB; others have powers or tables.
 *
 * @returns null where there is no such curve, or the profile can't be read
 *
 * Source: ICC.1:2022, 7.3 (tag table), 9.2.32 (grayTRC), 10.6 (curveType), 10.18 (parametricCurveType).
 */
export function profileCurve(profile: Uint8Array): Decode | null {
  try {
    const view = new DataView(profile.buffer, profile.byteOffset, profile.byteLength);
    const tags = Math.min(MOST_TAGS, view.getUint32(TAG_TABLE_AT));
    for (let n = 0; n < tags; n++) {
      const tag = TAG_TABLE_AT + 4 + n * TAG_BYTES;
      if (!['gTRC', 'kTRC'].includes(text(view, tag))) continue;
      const at = view.getUint32(tag + 4);
      const type = text(view, at);
      if (type === 'curv') return curveType(view, at);
      return type === 'para' ? parametricType(view, at) : null;
    }
    return null;
  } catch (error) {
    if (error instanceof RangeError) return null; // the profile ends before what it points to
    throw error;
  }
}
