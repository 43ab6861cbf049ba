import { useLayoutEffect, useRef } from 'preact/hooks';
import { Link } from '../../router';

interface Props {
  label: string;
  parts: readonly { to: string; name: string; isHere: boolean }[];
}

/** The parts of what one word of the head leads to, each with an address of its own: one line, which a narrow screen can move sideways. */
export function PartsNav({ label, parts }: Props) {
  const nav = useRef<HTMLElement>(null);
  const here = parts.find(({ isHere }) => isHere)?.to;
  useLayoutEffect(() => {
    const line = nav.current;
    const link = line?.querySelector<HTMLElement>('[aria-current]');
    // Not scrollIntoView, which would move the page too.
    if (line && link) line.scrollLeft = link.offsetLeft - (line.clientWidth - link.offsetWidth) / 2;
  }, [here]);
  return (
    <nav ref={nav} class="parts" aria-label={label}>
      {parts.map(({ to, name, isHere }) => (
        <Link key={to} to={to} class="button plain tap" aria-current={isHere ? 'page' : undefined}>
          {name}
        </Link>
      ))}
    </nav>
  );
}
