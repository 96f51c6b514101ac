import { readCharts, readData } from './data.js';
import { element } from './element.js';
import { connectMaps } from './maps.js';
import { panelContent } from './panel.js';
import { drawCharts } from './plots.js';

const data = readData();
drawCharts(readCharts());

const panel = document.getElementById('panel');
const showOnMaps = connectMaps(data, choose);

function choose(cell: (typeof data.cells)[number]): void {
  showOnMaps(cell);
  if (!panel) return;
  const close = element('button', { type: 'button', class: 'close', 'aria-label': 'Close' }, '×');
  close.addEventListener('click', () => panel.classList.remove('open'));
  panel.replaceChildren(close, ...panelContent(data, cell));
  panel.classList.add('open');
}

document.addEventListener('click', (event) => {
  const button = event.target instanceof Element ? event.target.closest<HTMLElement>('button.tube') : null;
  if (!button) return;
  const { row, column } = button.dataset;
  const cell = data.cells.find((one) => one.row === Number(row) && one.column === Number(column));
  if (cell) choose(cell);
});
