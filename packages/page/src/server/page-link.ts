import { randomUUID } from 'node:crypto';
import type { WebSocket } from 'ws';
import type { PhoneVerdict } from './door.js';
import { DOOR_LIMITS, type DoorLimits } from './door-limits.js';

/** What the page answers for one photo. */
interface Answer {
  readonly photo: string;
  readonly verdict: PhoneVerdict;
}

const isText = (value: unknown): value is string => typeof value === 'string' && value.length < 2000;

/** The page runs in a browser; what comes from there is checked like anything else from outside. */
function answerOf(text: string): Answer | null {
  try {
    const { photo, verdict } = JSON.parse(text) as Answer;
    const { good, says, next } = verdict;
    const fits =
      isText(photo) &&
      typeof good === 'boolean' &&
      Array.isArray(says) &&
      says.every(isText) &&
      (next === null || isText(next));
    return fits ? { photo, verdict: { good, says, next } } : null;
  } catch {
    return null;
  }
}

/** The way between the phone's door and the bench's page. */
export interface PageLink {
  /** Gives the photo to the page; null where none is there. */
  deliver(name: string, photo: Buffer): Promise<PhoneVerdict> | null;
  /** A page has come; the one before it is left. */
  attach(socket: WebSocket): void;
}

/**
 * @param onAway - called when the page has gone and isn't back in time
 */
export function pageLink(onAway: () => void, limits: DoorLimits = DOOR_LIMITS): PageLink {
  let page: WebSocket | null = null;
  let away: NodeJS.Timeout | undefined;
  const waiting = new Map<string, (verdict: PhoneVerdict) => void>();
  return {
    deliver(name, photo) {
      const socket = page;
      if (socket === null) return null;
      const id = randomUUID();
      const verdict = new Promise<PhoneVerdict>((resolve) => {
        const late = setTimeout(() => {
          waiting.delete(id);
          resolve({
            good: true,
            says: ['The photo has arrived; its verdict stands on the laptop.'],
            next: null,
          });
        }, limits.verdictMs);
        waiting.set(id, (answer) => {
          clearTimeout(late);
          waiting.delete(id);
          resolve(answer);
        });
      });
      socket.send(JSON.stringify({ photo: id, name }));
      socket.send(photo);
      return verdict;
    },
    attach(socket) {
      clearTimeout(away);
      page?.close();
      page = socket;
      socket.on('message', (data, isBinary) => {
        const answer = isBinary ? null : answerOf(String(data));
        if (answer) waiting.get(answer.photo)?.(answer.verdict);
      });
      socket.on('close', () => {
        if (page !== socket) return;
        page = null;
        away = setTimeout(onAway, limits.awayMs);
        away.unref();
      });
    },
  };
}
