import type { VNode } from 'preact';

/** What a browser would break at a hyphen: a lot's tag, an option of a command. */
const HYPHENED = /(\S*-\S*)/;

/**
 * Words with each hyphened one on one line where it fits, since a tag or a command's option that is broken reads as two. The letters stay as
 * they are, to be found and copied.
 */
export function unbroken(text: string): (string | VNode)[] {
  return text.split(HYPHENED).map((part, i) =>
    i % 2 === 1 ? (
      <span key={i} class="unbroken">
        {part}
      </span>
    ) : (
      part
    ),
  );
}
