import { shotText } from '@twolamp/plan';
import type { Card } from '../bench/bench.js';
import type { Desk } from './desk/desk.js';

/** How a phone gets in. */
export interface DoorSign {
  readonly address: string;
  /** The address as a QR code, an SVG. */
  readonly qr: string;
}

const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

/** What the phone is told of its photo. */
function verdictFor(desk: Desk, { photo }: Card): object {
  const faults = photo?.verdict?.faults ?? [];
  const next = desk.shots.current();
  return {
    good: !faults.some(({ spoils }) => spoils),
    says: faults.map(({ says }) => sentence(says)),
    next: next === null ? null : sentence(shotText(next.shot)),
  };
}

/**
 * The phone's door, where the bench is served by `twolamp bench --phone`: its photos go to the cards like dropped ones.
 *
 * @returns null where there is no door
 */
export async function connectDoor(desk: Desk): Promise<DoorSign | null> {
  // Only the program on this machine has a door; other web spaces aren't even asked.
  if (location.hostname !== '127.0.0.1' || !navigator.onLine) return null;
  const answer = await fetch('door').catch(() => null);
  if (!answer?.ok) return null;
  const sign = (await answer.json()) as { open: boolean } & DoorSign;
  if (!sign.open) return null;
  const socket = new WebSocket(new URL('door/page', document.baseURI));
  socket.binaryType = 'arraybuffer';
  let coming: { readonly photo: string; readonly name: string } | null = null;
  socket.onmessage = async ({ data }) => {
    if (typeof data === 'string') {
      coming = JSON.parse(data);
      return;
    }
    if (coming === null) return;
    const { photo, name } = coming;
    coming = null;
    const reply = (verdict: object) => socket.send(JSON.stringify({ photo, verdict }));
    const card = await desk.photos.addOne({ name, blob: new Blob([data as ArrayBuffer]) });
    reply(
      card === null
        ? { good: false, says: ['No shot asks for a photo: look at the laptop.'], next: null }
        : verdictFor(desk, card),
    );
  };
  return { address: sign.address, qr: sign.qr };
}
