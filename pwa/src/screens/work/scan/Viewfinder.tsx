import { useEffect, useRef, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { workWords } from '../../../words/rooms';
import { closeCamera, openCamera, type NoCamera } from './camera';
import { openReader, type Reader } from './reader';

/** How often a picture is looked at: a hand needs a moment anyway, and the battery lasts longer. */
const EVERY_MS = 160;

type State = 'starting' | 'preparing' | 'looking' | 'noReader' | NoCamera;

/** What the camera sees, until it has seen a code. */
export function Viewfinder({ onCode }: { onCode: (code: string) => void }) {
  const words = workWords.value.spot.scan;
  const video = useRef<HTMLVideoElement>(null);
  const [state, setState] = useState<State>('starting');
  const [round, setRound] = useState(0);
  useEffect(() => {
    const again = () => {
      // A stream dies in the background of some phones: a fresh one is opened when the app comes back.
      if (document.visibilityState === 'visible') setRound((before) => before + 1);
    };
    document.addEventListener('visibilitychange', again);
    return () => document.removeEventListener('visibilitychange', again);
  }, []);
  useEffect(() => {
    let current = true;
    let stop: () => void = () => undefined;
    setState('starting');
    void start().then((ended) => (current ? (stop = ended) : ended()));
    return () => {
      current = false;
      stop();
    };

    async function start(): Promise<() => void> {
      const stream = await openCamera();
      if (typeof stream === 'string') {
        if (current) setState(stream);
        return () => undefined;
      }
      const end = () => closeCamera(stream);
      const screen = video.current;
      if (!current || !screen) return end;
      screen.srcObject = stream;
      await screen.play().catch(() => undefined);
      if (!current) return end;
      setState('preparing');
      const reader = await openReader();
      if (!reader) {
        if (current) setState('noReader');
        return end;
      }
      if (current) setState('looking');
      const rest = look(screen, reader);
      return () => {
        rest();
        reader.close();
        end();
      };
    }

    function look(screen: HTMLVideoElement, reader: Reader): () => void {
      let timer = setTimeout(once, EVERY_MS);
      let done = false;
      async function once() {
        const code = await seen(screen, reader);
        if (done) return;
        if (code) {
          done = true;
          navigator.vibrate?.(60);
          onCode(code);
        } else timer = setTimeout(once, EVERY_MS);
      }
      return () => {
        done = true;
        clearTimeout(timer);
      };
    }
  }, [round]);
  const isTrouble = state !== 'starting' && state !== 'preparing' && state !== 'looking';
  return (
    <div class="viewfinder" data-state={state}>
      <div class="view" hidden={isTrouble}>
        <video ref={video} muted playsInline aria-label={words.aim} />
        <div class="aim" aria-hidden="true" />
      </div>
      <p class={isTrouble ? 'problems' : 'small'} role="status">
        {state === 'looking' ? words.aim : words[state]}
      </p>
      {isTrouble && (
        <Button size="walk" onClick={() => setRound(round + 1)}>
          {words.again}
        </Button>
      )}
    </div>
  );
}

async function seen(screen: HTMLVideoElement, reader: Reader): Promise<string | undefined> {
  if (screen.videoWidth === 0) return undefined;
  try {
    return (await reader.read(await createImageBitmap(screen)))?.code;
  } catch {
    // Between two frames there may be no picture; the next look is a moment away.
    return undefined;
  }
}
