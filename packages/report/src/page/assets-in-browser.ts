import plot from 'plotly.js-cartesian-dist-min/plotly-cartesian.min.js?raw';
import style from '../../assets/page.css?raw';
import client from '../../dist/client.js?raw';

// What assets.ts reads from files, as texts that the bundler of a page puts in (`?raw` is vite's).

export const pageStyle = (): string => style;
export const clientScript = (): string => client;
export const plotScript = (): string => plot;
