import { spawn } from 'node:child_process';
import { doorAddress, serveBench } from '@twolamp/page';
import { type Command, InvalidArgumentError } from 'commander';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

interface Options {
  readonly port: number;
  readonly open: boolean;
  readonly phone?: string | true;
}

/** Always the same, so that the browser finds its earlier benches: its storage belongs to the address. */
const PORT = 4730;
const MOST_PORTS = 65535;

function portOption(text: string): number {
  const port = Number(text);
  if (Number.isInteger(port) && port >= 0 && port <= MOST_PORTS) return port;
  throw new InvalidArgumentError(`expected a whole number from 0 to ${MOST_PORTS}`);
}

/** The system's way to show an address; whether a browser is there shows only when it is tried. */
const OPENERS: Partial<Record<NodeJS.Platform, readonly [command: string, ...args: string[]]>> = {
  darwin: ['open'],
  win32: ['cmd', '/c', 'start', ''],
};

function openInBrowser(address: string): void {
  const [command, ...args] = OPENERS[process.platform] ?? ['xdg-open'];
  const child = spawn(command, [...args, address], { stdio: 'ignore', detached: true });
  child.on('error', () => {}); // no browser: the address is printed anyway
  child.unref();
}

export function addBench(command: Command, terminal: Terminal): void {
  command
    .option('--port <number>', 'port on this machine, 0 for any that is free', portOption, PORT)
    .option(
      '--phone [address]',
      'also take photos from a phone in the local network; the page shows the QR code',
    )
    .option('--no-open', 'only print the address')
    .addHelpText('after', exampleText('bench --phone'))
    .action(async ({ port, open, phone }: Options) => {
      const bench = await serveBench({ port, phone: phone === undefined ? null : doorAddress(phone) });
      terminal.err(`The bench is at ${bench.address} (Ctrl+C ends it)\n`);
      if (bench.phone !== null) {
        terminal.err(
          `For the phone: ${bench.phone}\nWhoever has this address can send photos to the bench until it ends.\n`,
        );
      }
      if (open) openInBrowser(bench.address);
      await new Promise((resolve) => process.once('SIGINT', resolve).once('SIGTERM', resolve));
      await bench.close();
    });
}
