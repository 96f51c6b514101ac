import { expect, test } from 'vitest';
import { renamePhotos } from './rename-photos.js';

test('puts other photos at the shots and leaves comments and values as they are', () => {
  const text = `# Mine.
format: twolamp-session/1
shots:
  - { photo: dark-01.jpg, kind: dark } # lamps off
  - { photo: pair-01.jpg, kind: pair, spacing: 60 mm, distance: 1.8 m }
`;
  expect(renamePhotos(text, ['IMG 2.jpg', 'IMG_3.heic'])).toBe(
    text.replace('dark-01.jpg', 'IMG 2.jpg').replace('pair-01.jpg', 'IMG_3.heic'),
  );
});
