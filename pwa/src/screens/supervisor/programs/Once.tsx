import { useId, useRef, useState } from 'preact/hooks';
import { Button } from '../../../parts/Button';
import { supervisorWords } from '../../../words/supervisor';

/** A secret that is shown only now, with a button that copies it. */
export function Once({ label, text }: { label: string; text: string }) {
  const words = supervisorWords.value.programs;
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [said, say] = useState('');
  const copy = async () => {
    try {
      // Without HTTPS a browser has no clipboard for pages.
      await navigator.clipboard.writeText(text);
      say(words.copied);
    } catch {
      field.current?.focus();
      field.current?.select();
      say(words.copyByHand);
    }
  };
  return (
    <div class="once">
      <p id={id}>{words.once}</p>
      <div class="line">
        <input
          ref={field}
          type="text"
          readOnly
          value={text}
          spellcheck={false}
          aria-label={label}
          aria-describedby={id}
          onFocus={(event) => event.currentTarget.select()}
        />
        <Button kind="main" onClick={() => void copy()}>
          {words.copy}
        </Button>
      </div>
      <p role="status">{said}</p>
    </div>
  );
}
