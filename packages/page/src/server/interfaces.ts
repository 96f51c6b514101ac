import { networkInterfaces } from 'node:os';
import { InputError } from '@twolamp/session';

/** This machine's addresses in its local networks, IPv4: phones read those from a QR code and need no name service. */
function localAddresses(): string[] {
  return Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter(({ family, internal }) => family === 'IPv4' && !internal)
    .map(({ address }) => address);
}

/**
 * The address on which the phone's door listens.
 *
 * @param asked - as given; true: the only one there is
 * @throws InputError where there is none, several to choose from, or the one asked for isn't this machine's
 */
export function doorAddress(asked: string | true, addresses: readonly string[] = localAddresses()): string {
  if (asked !== true) {
    if (addresses.includes(asked)) return asked;
    throw new InputError(
      '--phone',
      `${asked} is no address of this machine in a local network`,
      addresses.join(' or ') || 'a local network',
    );
  }
  const [only, ...others] = addresses;
  if (only === undefined) {
    throw new InputError(
      '--phone',
      'this machine is in no local network',
      'the laptop and the phone in one Wi-Fi',
    );
  }
  if (others.length > 0) {
    throw new InputError(
      '--phone',
      'this machine is in several networks',
      `--phone ${addresses.join(' or --phone ')}`,
    );
  }
  return only;
}
