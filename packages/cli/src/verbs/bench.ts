import { spawn } from 'node:child_process';
import { serveBench } from '@twolamp/page';
import { type Command, InvalidArgumentError } from 'commander';
import type { Terminal } from '../terminal.js';

interface Options {
  readonly port: number;
  readonly open: boolean;
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

export function addBench(program: Command, terminal: Terminal): void {
  program
    .command('bench')
    .description('the bench in a browser: shoot, see each photo judged at once, and go on to the report')
    .option('--port <number>', 'port on this machine, 0 for any that is free', portOption, PORT)
    .option('--no-open', 'only print the address')
    .addHelpText('after', '\nExample:\n  twolamp bench\n')
    .action(async ({ port, open }: Options) => {
      const bench = await serveBench(port);
      terminal.err(`The bench is at ${bench.address} (Ctrl+C ends it)\n`);
      if (open) openInBrowser(bench.address);
      await new Promise((resolve) => process.once('SIGINT', resolve).once('SIGTERM', resolve));
      await bench.close();
    });
}
