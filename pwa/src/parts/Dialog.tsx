import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef } from 'preact/hooks';
import { appWords } from '../words';
import { takeToasts, Toasts } from './Toast';

interface Props {
  title: string;
  open: boolean;
  onClose: () => void;
  children: ComponentChildren;
}

/** A native modal dialog: the browser keeps the focus inside, closes it on Escape and gives the focus back. */
export function Dialog({ title, open, onClose, children }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useId();
  // In the drawing that brings what is in it: a frame later it would stand on the page unopened.
  useLayoutEffect(() => {
    const element = dialog.current;
    if (!element || element.open === open) return;
    if (open) element.showModal();
    else element.close();
  }, [open]);
  // Closed, not only taken away: the browser gives the focus back to what opened it as it is closed.
  useLayoutEffect(() => () => dialog.current?.close(), []);
  useLayoutEffect(() => (open ? takeToasts() : undefined), [open]);
  return (
    // The browser reports a closing a moment later: by then it may be open again, and is to stay open.
    <dialog ref={dialog} class="dialog" aria-labelledby={heading} onClose={() => dialog.current?.open || onClose()}>
      {open && (
        <>
          <header>
            <h2 id={heading}>{title}</h2>
            <button type="button" class="button quiet tap" onClick={onClose}>
              {appWords.value.common.close}
            </button>
          </header>
          {children}
          <Toasts inSheet />
        </>
      )}
    </dialog>
  );
}
