// What vite makes of imports that are no scripts.
declare module '*.css';

declare module 'plotly.js-cartesian-dist-min' {
  const library: object;
  export default library;
}
