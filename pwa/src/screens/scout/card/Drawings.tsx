/**
 * The scales drawn: root cover, root life, the scratch, pale leaves, how pale, bud states. Each step differs by shape
 * and amount, not by hue alone, so the pictures hold in grey, in glare and for any eye.
 */

const SOIL = '#7a6350';
const SOIL_EDGE = '#2e241b';
const LIVE = '#ffffff';
const TAN = '#e8cf9f';
const DEAD = '#1d1510';

interface Size {
  size?: number;
}

/**
 * Strands of a root ball: the same ones always, so that more cover is seen as more of the same. Their places are an
 * additive recurrence (the R2 sequence, Roberts 2018), which fills a plane evenly however many are taken.
 */
function strands(count: number): { path: string; tip: [number, number] }[] {
  return Array.from({ length: count }, (_, i) => {
    const y = 8 + ((0.5 + i * 0.569840291) % 1) * 34;
    const inset = 9 + (y / 64) * 6;
    const x = inset + ((0.5 + i * 0.7548776662) % 1) * (64 - 2 * inset);
    const bend = i % 2 === 0 ? 1 : -1;
    const tip: [number, number] = [x - bend, y + 15];
    return { path: `M${x.toFixed(1)} ${y.toFixed(1)}c${3 * bend} 3 ${-4 * bend} 6 0 9s${-2 * bend} 4 ${-bend} 6`, tip };
  });
}

function Ball({ children, size = 64 }: Size & { children: preact.ComponentChildren }) {
  return (
    <svg width={size} height={size} viewBox="0 0 64 64" aria-hidden="true">
      <path d="M6 5h52l-6 54a3 3 0 0 1-3 2.5H15A3 3 0 0 1 12 59z" fill={SOIL} stroke={SOIL_EDGE} stroke-width="1.5" />
      {children}
    </svg>
  );
}

const COVER_STRANDS = [0, 5, 11, 20, 34, 60];

/** Root cover, 0 to 5: how much of the ball's surface roots hold. */
export function Cover({ step, size }: Size & { step: number }) {
  const held = strands(COVER_STRANDS[step] ?? 0);
  return (
    <Ball {...(size ? { size } : {})}>
      {held.map(({ path }) => (
        <path key={path} d={path} fill="none" stroke={LIVE} stroke-width={step >= 4 ? 2.2 : 2} stroke-linecap="round" />
      ))}
    </Ball>
  );
}

const DEAD_OF_16 = [0, 16, 12, 8, 4, 0];

/**
 * Root life, 1 to 5: live strands are whole with a white tip, dead ones dark, thin and broken. The dead ones lie at the bottom, where
 * it stays wet, so that the steps differ by how far up they reach and not only by a count.
 */
export function Life({ step, size }: Size & { step: number }) {
  const dead = DEAD_OF_16[step] ?? 0;
  return (
    <Ball {...(size ? { size } : {})}>
      {fromTheBottom(strands(16)).map(({ path, tip }, i) =>
        i < dead ? (
          <path key={path} d={path} fill="none" stroke={DEAD} stroke-width="2" stroke-dasharray="3 2.5" />
        ) : (
          <g key={path}>
            <path d={path} fill="none" stroke={i % 3 === 0 ? TAN : LIVE} stroke-width="2.6" stroke-linecap="round" />
            <circle cx={tip[0]} cy={tip[1]} r="2" fill={LIVE} />
          </g>
        ),
      )}
    </Ball>
  );
}

function fromTheBottom(all: ReturnType<typeof strands>) {
  return all.sort((a, b) => b.tip[1] - a.tip[1]);
}

/** One root under the thumbnail: white inside and firm, or soft with the sleeve sliding off a thread. */
export function Scratch({ kind, size = 64 }: Size & { kind: 'firm_white' | 'soft' | 'not_scratched' }) {
  const skin = { fill: '#6d4c30', stroke: SOIL_EDGE, 'stroke-width': 1.5 };
  return (
    <svg width={size} height={(size * 40) / 64} viewBox="0 0 64 40" aria-hidden="true">
      {kind === 'soft' ? (
        <>
          <path d="M2 20h60" fill="none" stroke={SOIL_EDGE} stroke-width="3" />
          <path d="M2 12c9-2 15 1 22 0l3 16c-9 2-16-1-25 0z" {...skin} />
          <path d="M42 13l20-1v16l-18-1c2-5 0-9-2-14z" {...skin} />
        </>
      ) : (
        <>
          <path d="M2 11h60v18H2z" {...skin} />
          {kind === 'firm_white' && (
            <path d="M20 11h24c-2 6-3 12 0 18H20c3-6 2-12 0-18z" fill="#ffffff" stroke={SOIL_EDGE} stroke-width="1.5" />
          )}
        </>
      )}
    </svg>
  );
}

const GREEN = '#2f6b37';
const PALE = '#eee9a0';
const EDGE = '#1d3a20';
/** The veins of a green leaf are lighter than it, as they are seen against the light. */
const VEIN = '#cfe3c4';

function Leaf({ x, y, turn, pale, veins }: { x: number; y: number; turn: number; pale: boolean; veins: boolean }) {
  return (
    <g transform={`translate(${x} ${y}) rotate(${turn})`}>
      <path d="M0 0C5-9 15-11 22-2 15 8 5 8 0 0z" fill={pale ? PALE : GREEN} stroke={EDGE} stroke-width="1.3" />
      {(veins || !pale) && (
        <path
          d="M1 0C8-2 14-2 20-2M7-1.4l3-4.6M7-1.2l3 4.4M13-2l3-3.6M13-2l2 3.8"
          fill="none"
          stroke={veins ? GREEN : VEIN}
          stroke-width={veins ? 1.8 : 0.9}
        />
      )}
    </g>
  );
}

/** A shoot with old leaves below and young ones above; the pale ones are where the answer says. */
export function Shoot({ pale, size = 64 }: Size & { pale: 'none' | 'young' | 'old' | 'whole' }) {
  const young = pale === 'young' || pale === 'whole';
  const old = pale === 'old' || pale === 'whole';
  const veins = pale === 'young';
  return (
    <svg width={size} height={size} viewBox="0 0 64 64" aria-hidden="true">
      <path d="M32 63V24" fill="none" stroke={EDGE} stroke-width="2.5" />
      <Leaf x={32} y={52} turn={6} pale={old} veins={false} />
      <Leaf x={32} y={52} turn={174} pale={old} veins={false} />
      <Leaf x={32} y={39} turn={-8} pale={old} veins={false} />
      <Leaf x={32} y={39} turn={188} pale={old} veins={false} />
      <Leaf x={32} y={26} turn={-32} pale={young} veins={veins} />
      <Leaf x={32} y={26} turn={212} pale={young} veins={veins} />
      <Leaf x={32} y={25} turn={-90} pale={young} veins={veins} />
    </svg>
  );
}

const GREEN_LEFT = [26, 20, 13, 7, 5];

/** One leaf, 0 to 4: green draws back to the veins; at 4 the edge is brown and dry. */
export function Severity({ step, size = 64 }: Size & { step: number }) {
  const width = GREEN_LEFT[step] ?? 5;
  return (
    <svg width={size} height={size} viewBox="0 0 64 64" aria-hidden="true">
      <clipPath id={`leaf-${step}`}>
        <path d="M4 40C8 16 34 4 60 8 58 38 34 58 4 40z" />
      </clipPath>
      <g clip-path={`url(#leaf-${step})`}>
        <path d="M0 0h64v64H0z" fill={PALE} />
        <path
          d="M4 40C24 32 44 20 60 8M18 34l8-16M18 34l14 12M32 27l8-16M32 27l14 10M45 19l7-12"
          fill="none"
          stroke={GREEN}
          stroke-width={width}
          stroke-linecap="round"
        />
        {step === 4 && (
          <path
            d="M4 40C8 16 34 4 60 8 58 38 34 58 4 40z"
            fill="none"
            stroke="#6d3f1c"
            stroke-width="11"
            stroke-dasharray="7 3"
          />
        )}
      </g>
      <path d="M4 40C8 16 34 4 60 8 58 38 34 58 4 40z" fill="none" stroke={EDGE} stroke-width="1.6" />
    </svg>
  );
}

/** A flower bud: tight, showing colour, candle, open. */
export function Bud({ state, size = 64 }: Size & { state: 'tight' | 'colour' | 'candle' | 'open' }) {
  const scale = { fill: GREEN, stroke: EDGE, 'stroke-width': 1.4 };
  const petal = { fill: '#f3b9c6', stroke: '#7c2741', 'stroke-width': 1.4 };
  return (
    <svg width={size} height={size} viewBox="0 0 64 64" aria-hidden="true">
      <path d="M32 63V46" fill="none" stroke={EDGE} stroke-width="2.5" />
      {state === 'tight' && <path d="M32 48c-10-4-11-18 0-28 11 10 10 24 0 28z" {...scale} />}
      {state === 'colour' && (
        <>
          <path d="M32 40c-8-6-8-18 0-27 8 9 8 21 0 27z" {...petal} />
          <path d="M32 48c-11-4-12-14-5-21l5 8 5-8c7 7 6 17-5 21z" {...scale} />
        </>
      )}
      {state === 'candle' && (
        <>
          <path d="M25 40c-3-14 0-27 7-36 7 9 10 22 7 36z" {...petal} />
          <path d="M32 48c-9-2-11-8-7-13h14c4 5 2 11-7 13z" {...scale} />
        </>
      )}
      {state === 'open' && (
        <>
          {[-72, -36, 0, 36, 72].map((turn) => (
            <path key={turn} d="M32 40c-9-7-9-22 0-30 9 8 9 23 0 30z" transform={`rotate(${turn} 32 40)`} {...petal} />
          ))}
          <path d="M32 49c-6-1-8-5-5-9h10c3 4 1 8-5 9z" {...scale} />
        </>
      )}
    </svg>
  );
}
