import { isInputError } from '../../bench/array-form.js';
import { type FolderFile, filesOfZip, holdsSession } from '../../store/folder.js';
import type { Desk } from '../desk/desk.js';

function entryFiles(entry: FileSystemEntry, path = ''): Promise<FolderFile[]> {
  if (entry.isFile) {
    return new Promise((resolve, reject) => {
      (entry as FileSystemFileEntry).file(
        (file) => resolve([{ path: `${path}${file.name}`, blob: file }]),
        reject,
      );
    });
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const next = (): Promise<FileSystemEntry[]> =>
    new Promise((resolve, reject) => reader.readEntries(resolve, reject));
  const all = async (): Promise<FolderFile[]> => {
    const files: FolderFile[] = [];
    // A reader gives its entries in parts; an empty part is the end.
    for (let part = await next(); part.length > 0; part = await next()) {
      for (const one of part) files.push(...(await entryFiles(one, `${path}${entry.name}/`)));
    }
    return files;
  };
  return all();
}

const isZip = ({ path, blob }: FolderFile) => /\.zip$/i.test(path) || blob.type === 'application/zip';

/** Files that came in: a session's folder or zip becomes a bench of its own, photos go to the cards. */
async function takeFiles(files: readonly FolderFile[], desk: Desk): Promise<void> {
  try {
    const zips = files.filter(isZip);
    const all = files.filter((file) => !isZip(file));
    for (const zip of zips) all.push(...(await filesOfZip(zip.path, zip.blob)));
    if (holdsSession(all)) {
      await desk.shelf.take(all);
      return;
    }
    if (desk.state.bench === null) {
      desk.say(
        'Lay out an array first, or open a folder with a session.yaml: photos need to know what was shot.',
      );
      return;
    }
    if (desk.state.bench.cards.length === 0) {
      desk.say('Make the shot list first: each photo goes to the shot that asks for it.');
      return;
    }
    const photos = all.map(({ path, blob }) => ({ name: path.replace(/^.*\//, ''), blob }));
    await desk.photos.addTogether(photos);
  } catch (error) {
    if (!isInputError(error)) throw error;
    desk.say(`${error.message}.`);
  }
}

/** What was dropped on the page: files, folders, zips. */
export async function takeDropped(data: DataTransfer, desk: Desk): Promise<void> {
  // Entries must be taken before anything is awaited: the list is empty afterwards.
  const entries = [...data.items].flatMap((item) => item.webkitGetAsEntry?.() ?? []);
  const files =
    entries.length > 0
      ? (await Promise.all(entries.map((entry) => entryFiles(entry)))).flat()
      : [...data.files].map((file) => ({ path: file.name, blob: file }));
  await takeFiles(files, desk);
}

/** What was chosen in a file field. */
export async function takeChosen(list: FileList | null, desk: Desk): Promise<void> {
  if (list === null || list.length === 0) return;
  await takeFiles(
    [...list].map((file) => ({ path: file.webkitRelativePath || file.name, blob: file })),
    desk,
  );
}
