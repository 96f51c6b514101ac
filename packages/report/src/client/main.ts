import { responseChart } from '../charts/response-chart.js';
import { type Cell, readCharts, readData } from './data.js';
import { element } from './element.js';
import { connectMaps } from './maps.js';
import { panelContent } from './panel.js';
import { drawChart, drawCharts } from './plots.js';
import { connectProfiles } from './profiles.js';

const data = readData();
const panel = document.getElementById('panel');
const aside = panel?.closest<HTMLElement>('aside');
const showOnMaps = connectMaps(data, choose);

drawCharts(readCharts());
connectProfiles(data);

function close(): void {
  aside?.classList.remove('open');
}

function choose(cell: Cell): void {
  showOnMaps(cell);
  if (!panel || !aside) return;
  const button = element('button', { type: 'button', class: 'close', 'aria-label': 'Close' }, '×');
  button.addEventListener('click', close);
  panel.replaceChildren(button, ...panelContent(data, cell));
  aside.classList.add('open');
  if (data.sweep && cell.pointing) {
    const place = element('div', {
      class: 'response',
      role: 'img',
      'aria-label': 'Response to each lamp of the sweep',
    });
    panel.append(element('h3', {}, 'Response to the sweep'), place);
    drawChart(place, responseChart(data.array, cell, data.sweep));
  }
}

function chooseAt(row: number, column: number): void {
  const cell = data.cells.find((one) => one.row === row && one.column === column);
  if (cell) choose(cell);
}

document.addEventListener('click', (event) => {
  const button = event.target instanceof Element ? event.target.closest<HTMLElement>('button.tube') : null;
  if (button) chooseAt(Number(button.dataset.row), Number(button.dataset.column));
});

document.addEventListener('keydown', (event) => {
  if (event.key === 'Escape') close();
});

document.querySelector<HTMLFormElement>('#go')?.addEventListener('submit', (event) => {
  event.preventDefault();
  const values = new FormData(event.currentTarget as HTMLFormElement);
  chooseAt(Number(values.get('row')), Number(values.get('column')));
});
