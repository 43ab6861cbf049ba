/** A row of values so small that only their direction reads; the words beside it say the rest. */
export function Spark({
  values,
  width = 64,
  height = 18,
}: {
  values: readonly number[];
  width?: number;
  height?: number;
}) {
  const last = values.at(-1);
  if (last === undefined || values.length < 2) return null;
  const low = Math.min(...values, 0.4);
  const x = (i: number) => 4 + (i / (values.length - 1)) * (width - 8);
  const y = (value: number) => height - 4 - ((value - low) / (1 - low || 1)) * (height - 8);
  return (
    <svg class="spark" width={width} height={height} aria-hidden="true">
      <polyline points={values.map((value, i) => `${x(i)},${y(value)}`).join(' ')} />
      <circle cx={x(values.length - 1)} cy={y(last)} r="3" />
    </svg>
  );
}
