import type { Draw } from './draw.js';

/** Texts that files and names may hold, and that nobody expects. */
const ODD_TEXTS = [
  '',
  ' ',
  '___',
  '\u001b[31mred\u001b[2J',
  'a\nb\r\nc',
  '\u202egpj.exe',
  '../../etc/passwd',
  '/etc/passwd',
  'C:\\photo.jpg',
  'CON',
  'x'.repeat(5000),
  '<script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  '</script><b>',
  '=1+1',
  '%s%n',
  '\ud800',
  '😀'.repeat(50),
  'NaN',
  'null',
  '__proto__',
  'constructor',
];

const ODD_NUMBERS = [
  0,
  -0,
  1,
  -1,
  2,
  0.5,
  1e-300,
  1e300,
  -1e300,
  1e308,
  -1e-9,
  1e-9,
  1e6,
  1e9,
  1e15,
  2 ** 31,
  2 ** 53,
  1.5,
  255,
  1e5,
];

const UNITS = ['mm', 'cm', 'm', 'in', 'ft', 'deg', 's', '', 'yd', 'km', 'µm'];

export const oddText = (draw: Draw): string => draw.pick(ODD_TEXTS);

/** A number near a given one, or an odd one. */
export function oddNumber(draw: Draw, near: number): number {
  if (draw.chance(0.5)) return draw.pick(ODD_NUMBERS);
  return near * draw.pick([10, 0.1, 100, 0.01, 1000, 0.001, -1, 2, 0.5, 25.4, 3.281]);
}

/** A length, angle or time in writing, odd in its number, its unit or both. */
export function oddQuantity(draw: Draw, written: string): string {
  const [, number, unit] = /^(\S+)\s*(\S*)$/.exec(written.trim()) ?? [];
  const value = Number(number);
  const changed = Number.isFinite(value) && draw.chance(0.7) ? oddNumber(draw, value) : number;
  return `${changed} ${draw.chance(0.4) ? draw.pick(UNITS) : unit}`;
}
