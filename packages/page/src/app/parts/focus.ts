/** Moves the keyboard's place to an element that is drawn next; what was pressed may be gone by then. */
export function focusNext(id: string): void {
  requestAnimationFrame(() => document.getElementById(id)?.focus());
}
