import { describe, expect, test } from 'vitest';
import { sniffPhotoType } from './photo-type.js';

/** First bytes, filled up with zeros to 32. */
function start(...parts: (string | number[])[]): Uint8Array {
  const bytes = Buffer.concat(
    parts.map((part) => (typeof part === 'string' ? Buffer.from(part, 'latin1') : Buffer.from(part))),
  );
  return Buffer.concat([bytes, Buffer.alloc(32)]).subarray(0, 32);
}

const FTYP_24 = [0, 0, 0, 24];

const STARTS = [
  { name: 'JPEG (ITU-T T.81: SOI, then a marker)', bytes: start([0xff, 0xd8, 0xff, 0xe1]), type: 'jpeg' },
  { name: 'PNG (W3C PNG, 5.2)', bytes: start([137, 80, 78, 71, 13, 10, 26, 10]), type: 'png' },
  { name: 'TIFF, little endian (TIFF 6.0, section 2)', bytes: start('II', [42, 0]), type: 'tiff' },
  { name: 'TIFF, big endian', bytes: start('MM', [0, 42]), type: 'tiff' },
  { name: 'WebP (RFC 9649)', bytes: start('RIFF', [9, 9, 0, 0], 'WEBP'), type: 'webp' },
  {
    name: 'AVIF (AV1 image file format, brands)',
    bytes: start(FTYP_24, 'ftypavif', [0, 0, 0, 0], 'avifmif1'),
    type: 'avif',
  },
  {
    name: 'AVIF under a general brand',
    bytes: start(FTYP_24, 'ftypmif1', [0, 0, 0, 0], 'mif1avif'),
    type: 'avif',
  },
  {
    name: 'HEIC (ISO/IEC 23008-12, annex B)',
    bytes: start(FTYP_24, 'ftypheic', [0, 0, 0, 0], 'mif1heic'),
    type: 'heic',
  },
  { name: 'HEIC with 10 bits', bytes: start(FTYP_24, 'ftypheix', [0, 0, 0, 0], 'mif1heix'), type: 'heic' },
  {
    name: 'HEIF under a general brand',
    bytes: start(FTYP_24, 'ftypmif1', [0, 0, 0, 0], 'mif1heic'),
    type: 'heic',
  },
  { name: 'a film', bytes: start(FTYP_24, 'ftypisom', [0, 0, 2, 0], 'isomiso2'), type: null },
  {
    name: 'a brand behind the ftyp box',
    bytes: start([0, 0, 0, 20], 'ftypisom', [0, 0, 2, 0], 'isomheic'),
    type: null,
  },
  { name: 'GIF', bytes: start('GIF89a'), type: null },
  { name: 'sound in a RIFF file', bytes: start('RIFF', [9, 9, 0, 0], 'WAVE'), type: null },
  { name: 'BigTIFF', bytes: start('II', [43, 0, 8, 0]), type: null },
  { name: 'text', bytes: start('format: twolamp-session/1'), type: null },
  { name: 'fewer bytes than any picture has', bytes: start([0xff, 0xd8, 0xff]).subarray(0, 8), type: null },
];

describe('sniffPhotoType', () => {
  test.each(STARTS)('$name: $type', ({ bytes, type }) => {
    expect(sniffPhotoType(bytes)).toBe(type);
  });
});
