import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { isInputError } from '../../bench/array-form.js';
import { zipOf } from '../../store/folder.js';
import type { Desk } from '../desk/desk.js';
import { reportAddress } from '../offline.js';
import { useDesk } from './use-desk.js';

/** A file name that every system takes. */
const plainName = (name: string) =>
  name
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '') || 'array';

function save(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

interface FolderPicker {
  showDirectoryPicker?(options: { mode: 'readwrite' }): Promise<FileSystemDirectoryHandle>;
}

async function writeInto(root: FileSystemDirectoryHandle, path: string, blob: Blob): Promise<void> {
  const parts = path.split('/');
  const name = parts.pop()!;
  let folder = root;
  for (const part of parts) folder = await folder.getDirectoryHandle(part, { create: true });
  const file = await (await folder.getFileHandle(name, { create: true })).createWritable();
  await file.write(blob);
  await file.close();
}

/** Step 4: the answers so far, the report, and everything as files. */
export function ReportPart({ desk }: { desk: Desk }): JSX.Element | null {
  const { conclusion, bench } = useDesk(desk);
  const [doing, setDoing] = useState<string | null>(null);
  if (conclusion === null || bench === null) return null;
  const name = plainName(bench.form.name);

  const during = (what: string, work: () => Promise<void>) => async () => {
    setDoing(what);
    try {
      await work();
    } catch (error) {
      const { name: kind, message } = error as Error;
      if (isInputError(error)) desk.say(message);
      else if (kind !== 'AbortError') desk.say(`That failed (${message}). Try the other way to save.`);
    } finally {
      setDoing(null);
    }
  };

  const openReport = during('Making the report', async () => {
    // Opened before anything is awaited: later, browsers take it for a window that nobody asked for.
    const tab = window.open('', '_blank');
    const report = (await desk.results.measured())['report.html']!;
    const address = await reportAddress(`${name}.html`, report);
    if (address !== null && tab) {
      tab.location.replace(address);
      return;
    }
    tab?.close();
    save(new Blob([report], { type: 'text/html' }), `${name}-report.html`);
  });

  const saveZip = during('Packing the zip', async () => {
    save(await zipOf(await desk.results.folder()), `${name}.zip`);
  });

  const picker = (window as FolderPicker).showDirectoryPicker?.bind(window);
  const saveFolder =
    picker &&
    during('Writing the folder', async () => {
      const root = await picker({ mode: 'readwrite' });
      const files = await desk.results.folder();
      for (const [i, { path, blob }] of files.entries()) {
        setDoing(`Writing ${path}, ${i + 1} of ${files.length}`);
        await writeInto(root, path, blob);
      }
    });

  return (
    <section id="report" aria-labelledby="report-title">
      <h2 id="report-title">Report</h2>
      <ul class="answers-so-far">
        {conclusion.headlines.map((headline) => (
          <li key={headline}>{headline}</li>
        ))}
      </ul>
      <p class="actions">
        <button type="button" class="strong" onClick={openReport} disabled={doing !== null}>
          Open the report
        </button>
        <button type="button" onClick={saveZip} disabled={doing !== null}>
          Save everything as a zip
        </button>
        {saveFolder && (
          <button type="button" onClick={saveFolder} disabled={doing !== null}>
            Save into a folder
          </button>
        )}
      </p>
      <p class="note" role="status">
        {doing
          ? `${doing} …`
          : 'The folder is the one that the command line reads: session.yaml, the photos, measured/.'}
      </p>
    </section>
  );
}
