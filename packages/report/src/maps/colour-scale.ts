type Rgb = readonly [number, number, number];

/** Stops from low to high, evenly spaced. */
export type ColourScale = readonly string[];

/**
 * From a dark tube to a lit one: lightness only rises, so it reads without colour vision and in grey print.
 */
export const LAMPLIGHT: ColourScale = ['#20140d', '#54280f', '#8f4714', '#c8751d', '#edae4b', '#fff1cf'];

/** Loss blue, gain amber, no change dark: both ends grow lighter, and blue against orange is told apart by all common kinds of colour vision. */
export const LOSS_AND_GAIN: ColourScale = [
  '#a9d6ff',
  '#5b9fe0',
  '#2f5f91',
  '#2a2521',
  '#94591a',
  '#df9835',
  '#ffdf9e',
];

/** For amounts of something unwanted on white paper, where none of it is drawn light: LAMPLIGHT the other way round. */
export const AMOUNT_ON_PAPER: ColourScale = [...LAMPLIGHT].reverse();

/** LOSS_AND_GAIN on white paper: no change light, both ends dark. */
export const CHANGE_ON_PAPER: ColourScale = [
  '#12385f',
  '#2f6fad',
  '#8dbbe4',
  '#f7f2e9',
  '#eeb567',
  '#b96d12',
  '#643804',
];

function parse(hex: string): Rgb {
  const value = Number.parseInt(hex.slice(1), 16);
  return [value >> 16, (value >> 8) & 255, value & 255];
}

/** Colour at a place 0 to 1 on the scale, linear in sRGB between stops; values outside take the end's colour. */
export function colourAt(scale: ColourScale, share: number): string {
  const place = Math.min(1, Math.max(0, share)) * (scale.length - 1);
  const below = Math.min(scale.length - 2, Math.floor(place));
  const [from, to] = [parse(scale[below]!), parse(scale[below + 1]!)];
  const channels = from.map((value, i) => Math.round(value + (to[i]! - value) * (place - below)));
  return `#${channels.map((channel) => channel.toString(16).padStart(2, '0')).join('')}`;
}

/** Relative luminance. Source: WCAG 2.2, definition of relative luminance. */
export function luminance(hex: string): number {
  const [r, g, b] = parse(hex).map((channel) => {
    const c = channel / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}
