import { comparisonLabels, comparisonStories } from './comparison-story.js';
import { readCharts, readData, type TubeNumber } from './data.js';
import { connectMaps, labelMaps } from './maps.js';
import { connectPanel, connectTubeButtons } from './panel.js';
import { drawCharts } from './plots.js';
import { connectProfiles } from './profiles.js';
import { reportLabels, reportStories } from './report-story.js';

const data = readData();
const panel = document.getElementById('panel');

drawCharts(readCharts());
if (data?.kind === 'report') connectProfiles(data);
if (data?.kind === 'history') labelMaps(data);
else if (data && panel) {
  const show = connectPanel(panel, data.kind === 'report' ? reportStories(data) : comparisonStories(data));
  const mark = connectMaps(
    data,
    choose,
    data.kind === 'report' ? reportLabels(data) : comparisonLabels(data),
  );
  connectTubeButtons(data.array, choose);

  function choose(tube: TubeNumber): void {
    if (show(tube)) mark(tube);
  }
}
