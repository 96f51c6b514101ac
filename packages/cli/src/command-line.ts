/** How this program is called from its checkout; hints print what can be typed as it stands. */
const CALL = 'npm run --silent twolamp --';

/** A command to type, such as `measure my-array`; a path with spaces in it is quoted. */
export function commandLine(verb: string, path: string): string {
  return `${CALL} ${verb} ${/\s/.test(path) ? `"${path}"` : path}`;
}

/** What the help of a verb ends with; a long command goes on in the next line behind a backslash. */
export function exampleText(...commands: readonly string[]): string {
  return `\nExample:\n${commands.map((rest) => `  ${CALL} ${rest}\n`).join('')}`;
}
