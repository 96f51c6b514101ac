// What vite makes of imports that are no scripts.
declare module '*.css';
declare module '*?url' {
  const address: string;
  export default address;
}

declare module 'plotly.js-cartesian-dist-min' {
  const library: object;
  export default library;
}
