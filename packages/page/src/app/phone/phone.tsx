import { render } from 'preact';
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import './phone.css';

interface Verdict {
  readonly good: boolean;
  readonly says: readonly string[];
  readonly next: string | null;
}

type State =
  | { readonly is: 'ready' }
  | { readonly is: 'sending'; readonly share: number }
  | { readonly is: 'judged'; readonly verdict: Verdict }
  | { readonly is: 'failed'; readonly says: string };

/** Sends the photo; fetch can't tell how far it is, this can. */
function send(photo: File, told: (share: number) => void): Promise<Verdict> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', 'photo');
    request.responseType = 'json';
    request.upload.onprogress = ({ loaded, total }) => told(loaded / total);
    request.onerror = () =>
      reject(
        new Error('The laptop doesn’t answer: is the bench still open, and the phone in the same Wi-Fi?'),
      );
    request.onload = () => {
      const answer = request.response as (Verdict & { readonly says: readonly string[] | string }) | null;
      if (request.status === 200 && answer) resolve(answer);
      else reject(new Error(typeof answer?.says === 'string' ? answer.says : 'That failed: send it again.'));
    };
    const form = new FormData();
    form.append('photo', photo);
    request.send(form);
  });
}

function Says({ state }: { state: State }): JSX.Element {
  switch (state.is) {
    case 'ready':
      return <p>Photos go to the laptop in this network and nowhere else.</p>;
    case 'sending':
      return (
        <p>
          <progress max={1} value={state.share} aria-label="Sent" /> {Math.floor(100 * state.share)} % sent
          {state.share === 1 && ', the bench looks at it'}
        </p>
      );
    case 'failed':
      return <p class="bad">{state.says}</p>;
    case 'judged':
      return (
        <>
          <p class={state.verdict.good ? 'good' : 'bad'}>
            {state.verdict.good ? 'Good.' : 'Shoot it again.'}
          </p>
          {state.verdict.says.map((text) => (
            <p key={text}>{text}</p>
          ))}
          {state.verdict.next && <p class="next">Next: {state.verdict.next}</p>}
        </>
      );
  }
}

function Phone(): JSX.Element {
  const [state, setState] = useState<State>({ is: 'ready' });
  const field = useRef<HTMLInputElement>(null);
  const onPhoto = async (photo: File | undefined) => {
    if (!photo) return;
    setState({ is: 'sending', share: 0 });
    try {
      setState({ is: 'judged', verdict: await send(photo, (share) => setState({ is: 'sending', share })) });
    } catch (error) {
      setState({ is: 'failed', says: (error as Error).message });
    }
  };
  return (
    <main>
      <h1>Twolamp bench</h1>
      <div class="says" aria-live="polite">
        <Says state={state} />
      </div>
      <button type="button" disabled={state.is === 'sending'} onClick={() => field.current?.click()}>
        Take the photo
      </button>
      <input
        ref={field}
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        aria-label="Photo"
        onChange={({ currentTarget }) => {
          onPhoto(currentTarget.files?.[0]);
          currentTarget.value = '';
        }}
      />
    </main>
  );
}

render(<Phone />, document.getElementById('phone')!);
