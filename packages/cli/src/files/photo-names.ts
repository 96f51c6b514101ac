import { readdir } from 'node:fs/promises';
import { InputError } from '@twolamp/session/errors';

const PHOTO = /\.(jpe?g|png|tiff?|webp|avif|hei[cf])$/i;

const RAW = /\.(dng|cr[23w]|nef|arw|raf|orf|rw2|pef|srw)$/i;

/** Names of raw files in a folder, which can't be read. */
export async function rawNames(folder: string): Promise<string[]> {
  return (await readdir(folder)).filter((name) => RAW.test(name)).sort();
}

/**
 * Names of the photos in a folder, in the order a person would count them in.
 * @throws InputError where the folder can't be read or holds none
 */
export async function photoNames(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    const found = error.code === 'ENOTDIR' ? 'this is a file' : 'there is no such folder';
    throw new InputError(folder, found, 'the folder that holds the photos');
  });
  const photos = names.filter((name) => PHOTO.test(name) && !name.startsWith('.'));
  if (photos.length === 0) {
    throw new InputError(folder, 'no photos are in this folder', 'JPEG, PNG, TIFF, WebP, AVIF or HEIC files');
  }
  return photos.sort(new Intl.Collator('en', { numeric: true }).compare);
}
