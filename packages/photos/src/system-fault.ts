/** The operating system's complaints about files, in plain words. */
const FAULTS: Record<string, string> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EISDIR: 'this is a folder',
  EACCES: 'this may not be opened: its permissions forbid it',
  EPERM: 'this may not be opened: its permissions forbid it',
  ENAMETOOLONG: 'the name is too long',
  ELOOP: 'its links lead round in a circle',
  ENXIO: 'this is a device or a socket',
  EROFS: 'the disk can only be read',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk space allowed is used up',
  EFBIG: 'the file would be too large for the disk',
  EIO: 'the disk reports a fault',
  EMFILE: 'too many files are open',
};

/** A file system's error as a phrase; others by their message. */
export function systemFault(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  return FAULTS[code ?? ''] ?? `the file cannot be opened (${code ?? message})`;
}
