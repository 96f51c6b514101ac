import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Desk } from '../desk/desk.js';
import { connectDoor, type DoorSign } from '../door.js';

/** How the phone on the stand gets in, where the bench was started with a door for it. */
export function PhoneDoor({ desk }: { desk: Desk }): JSX.Element | null {
  const [sign, setSign] = useState<DoorSign | null>(null);
  useEffect(() => {
    connectDoor(desk).then(setSign);
  }, [desk]);
  if (sign === null) return null;
  return (
    <details class="phone-door">
      <summary>The phone on the stand</summary>
      <div class="door-sign">
        <img
          src={`data:image/svg+xml,${encodeURIComponent(sign.qr)}`}
          width="180"
          height="180"
          alt="QR code of the address for the phone"
        />
        <div>
          <p>
            Point the phone’s camera at the code, or type the address. Phone and laptop must be in the same
            Wi-Fi.
          </p>
          <p class="address">{sign.address}</p>
          <p class="note">
            The address holds until the bench ends. Whoever has it can send photos to this page, and see
            nothing of it but the verdict.
          </p>
        </div>
      </div>
    </details>
  );
}
