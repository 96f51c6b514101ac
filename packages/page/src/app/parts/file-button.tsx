import type { ComponentChildren, JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { Desk } from '../desk/desk.js';
import { takeChosen } from './files-in.js';

interface FileButtonProps {
  readonly desk: Desk;
  readonly accept: string;
  readonly name: string;
  readonly folder?: boolean;
  readonly strong?: boolean;
  readonly children: ComponentChildren;
}

/** A button that asks for files. */
export function FileButton({ desk, accept, name, folder, strong, children }: FileButtonProps): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" class={strong ? 'strong' : ''} onClick={() => field.current?.click()}>
        {children}
      </button>
      <input
        ref={field}
        type="file"
        hidden
        aria-label={name}
        data-field={name}
        accept={folder ? undefined : accept}
        multiple
        {...(folder ? { webkitdirectory: true } : {})}
        onChange={async ({ currentTarget }) => {
          await takeChosen(currentTarget.files, desk);
          currentTarget.value = ''; // so that the same file can be chosen again
        }}
      />
    </>
  );
}
