/** The photo with two marks on it, each set by a tap and moved under a loupe. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Point } from '../../../../../sync/head/pose';
import { headWords } from '../../../words/es/head';

interface Props {
  file: File;
  /** Of the whole photo. */
  wide: number;
  high: number;
  /** In pixels of the photo; there are fewer than two while they are still to be tapped. */
  edges: readonly Point[];
  /** @param scale pixels of the photo to one of the screen */
  onEdges: (edges: readonly Point[], scale: number) => void;
}

/** How much larger the loupe shows the photo than the screen does, and how wide it is, in pixels of the screen. */
const ZOOM = 3;
const LOUPE = 132;
const ARROWS: { [key: string]: readonly [x: number, y: number] } = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export function Edges({ file, wide, high, edges, onEdges }: Props) {
  const words = headWords.value;
  const box = useRef<HTMLDivElement>(null);
  const url = useAddress(file);
  const [held, hold] = useState<number | undefined>(undefined);
  const shownWide = () => box.current?.clientWidth ?? 1;
  const put = (which: number, { x, y }: Point) => {
    const inside = { x: Math.min(wide, Math.max(0, x)), y: Math.min(high, Math.max(0, y)) };
    const next = [...edges];
    next[which] = inside;
    onEdges(next, wide / shownWide());
  };
  const pointOf = (event: PointerEvent): Point => {
    const { left, top, width } = (event.currentTarget as HTMLElement).getBoundingClientRect();
    return { x: ((event.clientX - left) * wide) / width, y: ((event.clientY - top) * wide) / width };
  };
  const begin = (event: PointerEvent) => {
    const at = pointOf(event);
    const which = edges.length < 2 ? edges.length : nearestOf(edges, at);
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    hold(which);
    put(which, at);
  };
  const shown = held === undefined ? undefined : edges[held];
  return (
    <div
      ref={box}
      class="head-photo"
      style={{ aspectRatio: `${wide} / ${high}` }}
      onPointerDown={begin}
      onPointerMove={(event) => held !== undefined && put(held, pointOf(event))}
      onPointerUp={() => hold(undefined)}
      onPointerCancel={() => hold(undefined)}
    >
      {url && <img src={url} alt={words.photo} draggable={false} />}
      {edges.map(({ x, y }, i) => (
        <button
          key={i}
          type="button"
          class="edge"
          aria-label={words.edge[i]}
          style={{ left: `${(100 * x) / wide}%`, top: `${(100 * y) / high}%` }}
          onKeyDown={(event) => {
            const by = ARROWS[event.key];
            if (!by) return;
            event.preventDefault();
            const step = wide / shownWide();
            put(i, { x: x + by[0] * step, y: y + by[1] * step });
          }}
        />
      ))}
      {shown && url && <Loupe url={url} at={shown} wide={wide} high={high} shownWide={shownWide()} />}
    </div>
  );
}

/** Lies in the upper corner that the finger is not in. */
function Loupe({
  url,
  at,
  wide,
  high,
  shownWide,
}: {
  url: string;
  at: Point;
  wide: number;
  high: number;
  shownWide: number;
}) {
  const by = (ZOOM * shownWide) / wide;
  return (
    <div
      class={`loupe ${at.x < wide / 2 ? 'right' : 'left'}`}
      aria-hidden="true"
      style={{
        width: `${LOUPE}px`,
        height: `${LOUPE}px`,
        backgroundImage: `url(${url})`,
        backgroundSize: `${wide * by}px ${high * by}px`,
        backgroundPosition: `${LOUPE / 2 - at.x * by}px ${LOUPE / 2 - at.y * by}px`,
      }}
    />
  );
}

function nearestOf(edges: readonly Point[], { x, y }: Point): number {
  const far = edges.map((edge) => Math.hypot(edge.x - x, edge.y - y));
  return far.indexOf(Math.min(...far));
}

function useAddress(file: File): string | undefined {
  const [url, setUrl] = useState<string | undefined>(undefined);
  useEffect(() => {
    const made = URL.createObjectURL(file);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [file]);
  return url;
}
