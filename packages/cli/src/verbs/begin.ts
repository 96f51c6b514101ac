import { join } from 'node:path';
import { readPhoto } from '@twolamp/photos';
import { SESSION_FILES, shotText } from '@twolamp/plan';
import {
  InputError,
  readSession,
  renamePhotos,
  type Shot,
  type ShotKind,
  writeSession,
} from '@twolamp/session';
import type { Command } from 'commander';
import { draftSession, inOrderTaken, kindsByLook } from '../draft-session.js';
import { exists, fileIn, refuseToReplace } from '../files/existing.js';
import { writeFolder } from '../files/output-folder.js';
import { photoNames, rawNames } from '../files/photo-names.js';
import { readTextFile } from '../files/text-file.js';
import { mapHint } from '../map-hint.js';
import { type MatchedShot, matchPhotos, type TakenPhoto } from '../match-photos.js';
import { commandLine, exampleText } from '../command-line.js';
import { agrees, showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly list?: string;
  readonly yes?: true;
  readonly json?: true;
}

/** Which photo goes to which shot, a line each, with what the shot asks for. */
function table(matched: readonly MatchedShot<Shot>[]): string {
  const width = Math.max(...matched.map(({ photo }) => photo.length));
  return matched
    .map(({ shot, photo, doubt }) => {
      const remark =
        doubt === null ? '' : `  looks like ${doubt === 'even' ? 'an' : 'a'} ${doubt} shot: check`;
      return `${photo.padEnd(width)}  ${shot.kind}: ${shotText(shot)}${remark}\n`;
    })
    .join('');
}

/** One lamp, two merged lamps and a single tube look alike. */
const lookText = (kind: ShotKind) => (kind === 'lamp' ? 'lamps or one tube' : kind);

/** Photos beside the shots of the same turn, for whoever looks for the one too many; they need not belong together. */
function sideBySide(shots: readonly Shot[], photos: readonly TakenPhoto[]): string {
  const left = photos.map(({ name, looksLike }) => `${name} (looks like ${lookText(looksLike)})`);
  const right = shots.map((shot) => `${shot.kind}: ${shotText(shot)}`);
  const width = Math.max(...left.map(({ length }) => length));
  const turns = Array.from({ length: Math.max(left.length, right.length) }, (_, n) => n);
  return turns.map((n) => `${(left[n] ?? '').padEnd(width)}  ${right[n] ?? ''}`.trimEnd()).join('\n');
}

/** The planned list that the folder holds and that has as many shots as there are photos, or the only one; null = none. */
async function plannedList(
  folder: string,
  given: string | undefined,
  photos: number,
): Promise<string | null> {
  if (given !== undefined) return given;
  const there: { file: string; shots: number }[] = [];
  for (const name of Object.values(SESSION_FILES)) {
    const file = join(folder, name);
    if (!(await exists(file))) continue;
    there.push({ file, shots: readSession(await readTextFile(file, 'a session file'), file).shots.length });
  }
  if (there.length === 0) return null;
  const nearest = Math.min(...there.map(({ shots }) => Math.abs(shots - photos)));
  return there.find(({ shots }) => Math.abs(shots - photos) === nearest)!.file;
}

export function addBegin(command: Command, terminal: Terminal): void {
  const toCheck = (file: string) => commandLine('check', file);

  async function matchToList(folder: string, given: string, names: readonly string[], yes: boolean) {
    const list = await fileIn(given, 'session.yaml');
    const text = await readTextFile(list, 'a session file that plan wrote');
    const { shots } = readSession(text, list);
    const { ordered: taken, byTime } = await inOrderTaken(folder, names);
    const progress = showProgress(terminal);
    const kinds = await kindsByLook(folder, taken, progress.step).finally(progress.end);
    const photos = taken.map((name, n) => ({ name, looksLike: kinds[n]! }));
    const match = matchPhotos(shots, photos);
    if (!('matched' in match)) {
      terminal.err(
        `Photos in their order, and the shots of ${list} in theirs:\n${sideBySide(shots, photos)}\n`,
      );
      throw new InputError(
        folder,
        `${taken.length} photos for ${shots.length} shots of ${list}. Planned: ${match.planned}. Photos by time and look: ${match.taken}`,
        'one photo for each shot: delete from the list the lines of shots that you left out, and take photos that belong to no shot out of the folder',
      );
    }
    terminal.err(
      `Photos in the order ${byTime ? 'in which they were taken' : 'of their names, as not all of them tell when they were taken'}, ` +
        `and the shots of ${list}:\n${table(match.matched)}`,
    );
    if (!yes) {
      if (terminal.ask === null) {
        throw new InputError(
          folder,
          'nobody confirmed this table, so nothing was written',
          'the same command with --yes, where the table is right',
        );
      }
      if (!(await agrees(terminal.ask, 'Is this right?'))) {
        terminal.err(
          'Nothing was written. Correct the list, so that it has one line for each photo in the order of the photos, and run begin again.\n',
        );
        return null;
      }
    }
    return {
      text: renamePhotos(
        text,
        match.matched.map(({ photo }) => photo),
      ),
      shots: match.matched,
    };
  }

  async function draft(folder: string, names: readonly string[]) {
    const { ordered } = await inOrderTaken(folder, names);
    const progress = showProgress(terminal);
    const { draft: drafted, looked } = await draftSession(folder, ordered, progress.step).finally(
      progress.end,
    );
    const kinds = [...new Set(drafted.shots.map((shot) => shot.kind))].map(
      (kind) => `${drafted.shots.filter((shot) => shot.kind === kind).length} ${kind}`,
    );
    terminal.err(`${kinds.join(', ')}; the kind of ${looked} was guessed from the picture.\n`);
    const even = drafted.shots.find((shot) => shot.kind === 'even');
    if (even) {
      const photo = await readPhoto(join(folder, even.photo), { tone: 'srgb', channel: 'luminance' });
      const hint = mapHint(photo, even.photo);
      if (hint !== null) terminal.err(`${hint}\n`);
    }
    return { text: writeSession(drafted), shots: drafted.shots };
  }

  command
    .argument('<folder>', 'folder that holds the photos, and the lists that plan wrote')
    .option(
      '--list <file>',
      `the planned list (default: ${Object.values(SESSION_FILES).join(' or ')} in the folder)`,
    )
    .option('--yes', 'accept the table of photos and shots without a question')
    .option('--json', 'print the shots on stdout')
    .addHelpText('after', exampleText('begin my-array'))
    .action(async (folder: string, options: Options) => {
      const file = join(folder, 'session.yaml');
      const names = await photoNames(folder);
      await refuseToReplace(file);
      const raw = await rawNames(folder);
      if (raw.length > 0) {
        terminal.err(
          `Not read, because they are raw files: ${raw.join(', ')}. Export them as JPEG or TIFF.\n`,
        );
      }
      const list = await plannedList(folder, options.list, names.length);
      const begun =
        list === null
          ? await draft(folder, names)
          : await matchToList(folder, list, names, options.yes === true);
      if (begun === null) return;
      await writeFolder(folder, { 'session.yaml': begun.text });
      terminal.err(
        begun.text.includes('___')
          ? `Fill in every ___ in ${file}. Then run: ${toCheck(file)}\n`
          : `Written: ${file}. Now run: ${toCheck(file)}\n`,
      );
      if (options.json) terminal.out(`${JSON.stringify(begun.shots)}\n`);
    });
}
