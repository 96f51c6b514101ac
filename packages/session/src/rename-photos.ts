import { parseDocument } from 'yaml';

/**
 * A session file with other photos at its shots; all else, comments included, stays as written.
 *
 * @param text - of a session.yaml that reads without errors
 * @param photos - one a shot, in the order of the shots
 */
export function renamePhotos(text: string, photos: readonly string[]): string {
  const document = parseDocument(text);
  photos.forEach((photo, index) => {
    document.setIn(['shots', index, 'photo'], photo);
  });
  return document.toString({ lineWidth: 0 });
}
