import { useEffect, useState } from 'preact/hooks';
import type { Desk } from '../desk/desk.js';
import type { DeskState } from '../desk/desk-state.js';

/** The desk's state; the component is drawn anew whenever it changes. */
export function useDesk(desk: Desk): DeskState {
  const [state, setState] = useState(desk.state);
  useEffect(() => {
    setState(desk.state);
    return desk.subscribe(() => setState(desk.state));
  }, [desk]);
  return state;
}
