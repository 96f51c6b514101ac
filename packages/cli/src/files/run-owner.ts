import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';

/** Which run a folder belongs to. */
export interface RunOwner {
  readonly pid: number;
  readonly host: string;
  /** When the process began, in the system's ticks: process numbers are used again. Null where the system doesn't say. */
  readonly began: string | null;
}

/** Field 22 of /proc/PID/stat (Linux, proc(5)); the name in field 2 may hold spaces, so fields are counted behind it. */
function beganOf(pid: number): string | null {
  try {
    const status = readFileSync(`/proc/${pid}/stat`, 'utf8');
    return status.slice(status.lastIndexOf(')') + 2).split(' ')[19] ?? null;
  } catch {
    return null;
  }
}

export function thisRun(): RunOwner {
  return { pid: process.pid, host: hostname(), began: beganOf(process.pid) };
}

/** Whether the run that owns something still works. Of another machine's run nobody can know: it counts as at work. */
export function isAtWork(owner: RunOwner): boolean {
  if (owner.host !== hostname()) return true;
  try {
    process.kill(owner.pid, 0); // signal 0 asks only
  } catch (error) {
    // EPERM: it is there, and somebody else's.
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return false;
  }
  return owner.began === null || owner.began === beganOf(owner.pid);
}
