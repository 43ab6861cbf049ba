import { encode } from 'uqr';
import { QUIET } from './stock';

interface Props {
  text: string;
  /** Side in mm, the quiet edge included. */
  side: number;
}

/** A QR code as one path, with its quiet edge: sharp at any size, and printed by every browser alike. */
export function Code({ text, side }: Props) {
  // A quarter of the code may be under mud and it is still read (level Q).
  const { data, size } = encode(text, { ecc: 'Q', border: QUIET });
  return (
    <svg
      class="qr"
      width={`${side}mm`}
      height={`${side}mm`}
      viewBox={`0 0 ${size} ${size}`}
      shape-rendering="crispEdges"
      role="img"
      aria-label={text}
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={pathOf(data)} fill="#000" />
    </svg>
  );
}

/** Each run of dark modules in a row is one rectangle, so that no hairline shows between two modules. */
export function pathOf(data: readonly (readonly boolean[])[]): string {
  return data
    .flatMap((row, y) => {
      const runs: string[] = [];
      for (let x = 0; x < row.length; x++) {
        if (row[x] !== true) continue;
        const from = x;
        while (row[x + 1] === true) x++;
        runs.push(`M${from} ${y}h${x + 1 - from}v1h${from - x - 1}z`);
      }
      return runs;
    })
    .join('');
}
