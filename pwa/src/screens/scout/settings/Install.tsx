/** Offers the home screen once, where the browser can say when: an installed app keeps its notes for good. */
import { signal } from '@preact/signals';
import { Button } from '../../../parts/Button';
import { appWords } from '../../../words';

interface InstallEvent extends Event {
  prompt: () => Promise<unknown>;
}

const SLOT = 'bedwalk-install-later';

const offer = signal<InstallEvent | undefined>(undefined);
const declined = signal(readDeclined());

addEventListener('beforeinstallprompt', (event) => {
  event.preventDefault();
  offer.value = event as InstallEvent;
});
addEventListener('appinstalled', () => (offer.value = undefined));

export function InstallHint() {
  const words = appWords.value.scout.notice;
  if (declined.value || isInstalled()) return null;
  const now = offer.value;
  if (!now && !isIos()) return null;
  return (
    <section class="install">
      <p>{words.install}</p>
      {now ? (
        <Button kind="main" onClick={() => void now.prompt().then(() => (offer.value = undefined))}>
          {words.installNow}
        </Button>
      ) : (
        <p class="small">{words.installIos}</p>
      )}
      <Button kind="quiet" onClick={decline}>
        {words.later}
      </Button>
    </section>
  );
}

function isInstalled(): boolean {
  return matchMedia('(display-mode: standalone)').matches;
}

function isIos(): boolean {
  return /iPhone|iPad/.test(navigator.userAgent);
}

function decline(): void {
  declined.value = true;
  try {
    localStorage.setItem(SLOT, '1');
  } catch {
    // Asked again at the next start; nothing worse.
  }
}

function readDeclined(): boolean {
  try {
    return localStorage.getItem(SLOT) === '1';
  } catch {
    return false;
  }
}
