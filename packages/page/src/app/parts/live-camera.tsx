import { lengthText, parseLengthMm } from '@twolamp/session';
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { isInputError, roomOf, setupOf, withUnit } from '../../bench/array-form.js';
import type { Desk } from '../desk/desk.js';
import { workers } from '../workers.js';
import { useDesk } from './use-desk.js';

/** Sharp enough for thousands of tubes, and within what most cameras give. */
const WANTED = { facingMode: 'environment', width: { ideal: 1920 }, height: { ideal: 1080 } };
const NEXT_FRAME_MS = 150;

type Step =
  | { readonly is: 'off' }
  | { readonly is: 'even' }
  | { readonly is: 'begin'; readonly tubes: number }
  | { readonly is: 'watching' };

interface Reading {
  readonly dip: number;
  readonly separate: boolean;
  readonly distanceMm: number;
}

const TROUBLES: Record<string, string> = {
  NotAllowedError: 'The browser may not use the camera: allow it beside the address, then try again.',
  NotFoundError: 'No camera is connected to this device: connect one, or use photos.',
  NotReadableError: 'Another program uses the camera: close it, then try again.',
};

function frameOf(video: HTMLVideoElement): ImageData {
  const canvas = new OffscreenCanvas(video.videoWidth, video.videoHeight);
  const context = canvas.getContext('2d', { willReadFrequently: true })!;
  context.drawImage(video, 0, 0);
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

async function asPhoto({ width, height, data }: ImageData): Promise<Blob> {
  const canvas = new OffscreenCanvas(width, height);
  canvas.getContext('2d')!.putImageData(new ImageData(data, width, height), 0, 0);
  return canvas.convertToBlob({ type: 'image/png' });
}

/** A camera pointed at the sheet: the dip while the lamps are carried away, and photos for the cards. */
export function LiveCamera({ desk }: { desk: Desk }): JSX.Element {
  const { bench, plan } = useDesk(desk);
  const video = useRef<HTMLVideoElement>(null);
  const [step, setStep] = useState<Step>({ is: 'off' });
  const [trouble, setTrouble] = useState<string | null>(null);
  const [reading, setReading] = useState<Reading | null>(null);
  const [unseen, setUnseen] = useState(false);
  const [distance, setDistance] = useState('');
  const stream = useRef<MediaStream | null>(null);

  const stop = () => {
    for (const track of stream.current?.getTracks() ?? []) track.stop();
    stream.current = null;
    setStep({ is: 'off' });
    setReading(null);
  };
  useEffect(() => stop, []);

  const trying = (work: () => Promise<void>) => async () => {
    setTrouble(null);
    try {
      await work();
    } catch (error) {
      const { name, message } = error as Error;
      setTrouble(
        TROUBLES[name] ?? (isInputError(error) ? `${message}.` : `That failed (${message}). Try again.`),
      );
    }
  };

  const start = trying(async () => {
    if (!navigator.mediaDevices) {
      throw new Error('browsers lend the camera only to pages on https or on this machine');
    }
    stream.current = await navigator.mediaDevices.getUserMedia({ video: WANTED });
    video.current!.srcObject = stream.current;
    await video.current!.play();
    setStep({ is: 'even' });
    const first = plan?.plan.evening.expected[0]?.distanceMm;
    if (first !== undefined) setDistance(lengthText(first));
  });

  const even = trying(async () => {
    const tubes = await workers.live().even(setupOf(bench!.form), frameOf(video.current!));
    if (tubes === null) {
      setTrouble(
        'The tubes hardly lean apart, so that the lamps’ images don’t tell how far away they are: use photos.',
      );
      return;
    }
    setStep({ is: 'begin', tubes });
  });

  const begin = trying(async () => {
    const mm = parseLengthMm(withUnit(distance, 'm'));
    if (mm === null || mm <= 0) {
      setTrouble('Give the distance of the lamps with its unit, for example 0.8 m.');
      return;
    }
    const { spacingMm } = roomOf(bench!.form);
    const found = await workers.live().begin(spacingMm, mm, frameOf(video.current!));
    setReading(found);
    setUnseen(found === null);
    if (found !== null) setStep({ is: 'watching' });
  });

  const shoot = trying(async () => {
    await desk.photos.add([{ name: 'camera.png', blob: await asPhoto(frameOf(video.current!)) }]);
  });

  useEffect(() => {
    if (step.is !== 'watching') return;
    let over = false;
    const watch = async () => {
      while (!over && video.current) {
        const found = await workers
          .live()
          .now(frameOf(video.current))
          .catch((error: Error) => {
            if (!over) setTrouble(`${error.message}.`);
            return null;
          });
        if (over) return;
        setUnseen(found === null);
        if (found !== null) {
          setTrouble(null);
          setReading(found);
        }
        await new Promise((resolve) => setTimeout(resolve, NEXT_FRAME_MS));
      }
    };
    watch();
    return () => {
      over = true;
    };
  }, [step.is]);

  return (
    <details class="live">
      <summary>A camera on this device</summary>
      <p>
        Point a camera at the sheet from behind, on a stand, with focus and exposure fixed where it lets you.
        It takes photos for the shots, and shows the dip while you carry the lamps away.
      </p>
      <video ref={video} muted playsInline hidden={step.is === 'off'} aria-label="What the camera sees" />
      {trouble && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {step.is === 'even' && <p>Light the front face evenly, then say so.</p>}
      {step.is === 'begin' && (
        <>
          <p>
            {step.tubes} tubes found. Even light off, both lamps on, side by side, where they are clearly
            separate. Lamps get hot: carry them by their holders.
          </p>
          <div class="line">
            <label for="live-distance">They stand at</label>
            <input
              id="live-distance"
              value={distance}
              autocomplete="off"
              onInput={({ currentTarget }) => setDistance(currentTarget.value)}
            />
            <span class="hint">by the tape, from the front face</span>
          </div>
        </>
      )}
      <div aria-live="polite">
        {reading && (
          <p class="reading">
            Dip <b>{reading.dip.toFixed(2)}</b>: {reading.separate ? 'separate' : 'not separate'}, at about{' '}
            <b>{(reading.distanceMm / 1000).toFixed(2)} m</b>
          </p>
        )}
        {unseen && (
          <p class="note">The lamps can’t be seen on the sheet: are they on, and in front of the array?</p>
        )}
      </div>
      <p class="actions">
        {step.is === 'off' && (
          <button type="button" onClick={start}>
            Start the camera
          </button>
        )}
        {step.is === 'even' && (
          <button type="button" class="strong" onClick={even}>
            This is the even light
          </button>
        )}
        {step.is === 'begin' && (
          <button type="button" class="strong" onClick={begin}>
            The lamps stand there
          </button>
        )}
        {step.is !== 'off' && (
          <>
            {desk.shots.current() && (
              <button type="button" onClick={shoot}>
                Take the photo for this shot
              </button>
            )}
            <button type="button" onClick={stop}>
              Stop the camera
            </button>
          </>
        )}
      </p>
      {step.is === 'watching' && (
        <p class="note">
          The distance is what the lamps’ images tell. A camera’s own tone curve and sharpening are in this
          dip; the photos decide.
        </p>
      )}
    </details>
  );
}
