import { render } from 'preact';
import { openStore } from '../store/database.js';
import { App } from './app.js';
import './bench.css';
import { Desk } from './desk/desk.js';
import { keepOffline } from './offline.js';
import { workers } from './workers.js';

const place = document.getElementById('bench')!;

async function start(): Promise<void> {
  const desk = new Desk(await openStore(), workers);
  render(<App desk={desk} />, place);
  await desk.shelf.start(location.hash.slice(1) || null);
  desk.subscribe(() => {
    const id = desk.state.bench?.id ?? '';
    if (location.hash.slice(1) !== id)
      history.replaceState(null, '', id === '' ? location.pathname : `#${id}`);
  });
  // Asks the browser not to clear the photos away when the disk runs full; it may say no.
  navigator.storage?.persist?.().catch(() => {});
  keepOffline();
}

start().catch((error: Error) => {
  place.replaceChildren();
  const says = document.createElement('p');
  says.className = 'plain';
  says.textContent = `The bench can’t open its storage in this browser (${error.message}). Private windows often keep nothing: open the page in an ordinary window.`;
  place.append(says);
});
