import type { Interval } from '../../../schema/types';

interface Props {
  /** What is measured and its interval, in words: the bar itself says nothing to a screen reader beyond them. */
  label: string;
  value?: number | undefined;
  interval?: Interval | undefined;
  /** The ends of the bar, in the value's unit; 0 to 1 unless said. */
  from?: number;
  to?: number;
  /** A shaded stretch behind the bar: what is too little to matter. */
  zone?: { low: number; high: number };
}

/** Where a value lies between two ends and how sure it is: a thick stretch for the interval, a dot for the value. */
export function IntervalBar({ label, value, interval, from = 0, to = 1, zone }: Props) {
  const at = (raw: number) => `${Math.min(100, Math.max(0, ((raw - from) / (to - from)) * 100))}%`;
  const known = interval?.known === true;
  return (
    <svg class="interval" width="100%" height="14" role="img" aria-label={label}>
      {zone && (
        <rect
          class="zone"
          x={at(zone.low)}
          width={`${((zone.high - zone.low) / (to - from)) * 100}%`}
          y="0"
          height="14"
        />
      )}
      <line class="rail" x1="0" x2="100%" y1="7" y2="7" />
      {known && <line class="sure" x1={at(interval.low)} x2={at(interval.high)} y1="7" y2="7" />}
      {value !== undefined && <circle class="value" cx={at(value)} cy="7" r="5.5" />}
    </svg>
  );
}
