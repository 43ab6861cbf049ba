import type { ButtonHTMLAttributes, ComponentChildren } from 'preact';

interface Props extends Omit<ButtonHTMLAttributes, 'type' | 'children' | 'class' | 'size'> {
  /** main: the one step that this screen is for; plain: any other; quiet: beside the point; clay: needs thought. */
  kind?: 'main' | 'plain' | 'quiet' | 'clay';
  /** tap 48 px, walk 64 px, count 96 px high. */
  size?: 'tap' | 'walk' | 'count';
  submit?: boolean;
  class?: string;
  children: ComponentChildren;
}

export function Button({ kind = 'plain', size = 'tap', submit = false, children, class: more = '', ...rest }: Props) {
  return (
    <button type={submit ? 'submit' : 'button'} class={`button ${kind} ${size} ${more}`} {...rest}>
      {children}
    </button>
  );
}
