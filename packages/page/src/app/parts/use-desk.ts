import { useEffect, useState } from 'preact/hooks';
import type { Desk, DeskState } from '../desk.js';

/** The desk's state; the component is drawn anew whenever it changes. */
export function useDesk(desk: Desk): DeskState {
  const [state, setState] = useState(desk.state);
  useEffect(() => {
    setState(desk.state);
    return desk.subscribe(() => setState(desk.state));
  }, [desk]);
  return state;
}
