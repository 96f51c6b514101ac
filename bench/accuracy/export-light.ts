import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { readSession } from '@twolamp/session';
import { clearedEven, evenOnly } from './even-light.js';
import { npyFile } from './npy.js';
import { photosIn } from './run-session.js';

const HELP = `Linear light of sessions' even shots for other programs, beside Twolamp's own figures.

node bench/dist/accuracy/export-light.js OUT SESSION_FOLDER ...

Each folder holds session.yaml, truth.json and the photos. OUT/NAME gets even.npy (first even shot, dark shot taken off
where there is one), result.json (measured from these two photos) and truth.json.
`;

const [out, ...folders] = process.argv.slice(2);
if (!out || folders.length === 0) {
  console.log(HELP);
} else {
  for (const folder of folders) {
    const session = evenOnly(readSession(readFileSync(join(folder, 'session.yaml'), 'utf8'), 'session.yaml'));
    const load = photosIn(folder, session);
    const { result } = await measureSession(session, load);
    const { light, width, height } = await clearedEven(session, load);
    const target = join(out, basename(folder));
    mkdirSync(target, { recursive: true });
    writeFileSync(join(target, 'even.npy'), npyFile(light, width, height));
    writeFileSync(join(target, 'result.json'), JSON.stringify(result));
    copyFileSync(join(folder, 'truth.json'), join(target, 'truth.json'));
    console.error(target);
  }
}
