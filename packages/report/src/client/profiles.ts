import { profileChart } from '../charts/profile-chart.js';
import type { ReportData } from '../page/page-data.js';
import { drawChart } from './plots.js';

/** The parts of a plot's click event that are used. */
interface PlotClick {
  readonly points: readonly { readonly customdata?: unknown }[];
}

type PlotElement = HTMLElement & { on(event: 'plotly_click', listener: (click: PlotClick) => void): void };

/** Shows the profile of the chosen pair shot; a click on its point in the dip chart chooses it as well. */
export function connectProfiles({ profiles }: ReportData): void {
  const picker = document.querySelector<HTMLSelectElement>('#profile');
  const place = document.getElementById('profile-chart');
  if (!picker || !place) return;
  const show = () => {
    const profile = profiles.find(({ photo }) => photo === picker.value);
    if (profile) drawChart(place, profileChart(profile));
  };
  picker.addEventListener('change', show);
  (document.getElementById('dip-chart') as PlotElement | null)?.on('plotly_click', ({ points }) => {
    const photo = points[0]?.customdata;
    if (typeof photo !== 'string') return;
    picker.value = photo;
    show();
  });
  show();
}
