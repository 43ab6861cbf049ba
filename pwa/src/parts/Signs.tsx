/** Signs of caution, drawn for this project. They never stand alone: words in both languages stand beside them. */
import type { ComponentChildren } from 'preact';

function Sign({ children }: { children: ComponentChildren }) {
  return (
    <svg class="hazard" width={48} height={48} viewBox="0 0 48 48" aria-hidden="true">
      {children}
    </svg>
  );
}

const line = {
  fill: 'none',
  stroke: 'currentColor',
  'stroke-width': 3,
  'stroke-linecap': 'round',
  'stroke-linejoin': 'round',
} as const;

/** A warning triangle around a drop over a leaf: something was sprayed here. */
export function Sprayed() {
  return (
    <Sign>
      <path d="M24 4 L45 42 H3 Z" {...line} />
      <path d="M24 15 C29 22 30 25 30 27 A6 6 0 0 1 18 27 C18 25 19 22 24 15 Z" fill="currentColor" />
      <path d="M14 38 Q24 31 34 38" {...line} />
    </Sign>
  );
}

/** The words beside that sign, which are the same on every screen and on paper. @param apart what stands between the languages */
export function SprayedWords({ apart = <br /> }: { apart?: ComponentChildren }) {
  return (
    <>
      <b lang="en">
        DANGER · PESTICIDES · <span class="nowrap">KEEP OUT</span>
      </b>
      {apart}
      <b lang="es">
        PELIGRO · PESTICIDAS · <span class="nowrap">NO ENTRE</span>
      </b>
    </>
  );
}

/** An open hand in a ring, crossed out: nobody enters. */
export function KeepOut() {
  return (
    <Sign>
      <circle cx={24} cy={24} r={20} {...line} />
      <path d="M17 34 V22 M21 34 V16 M25 34 V15 M29 34 V17 M17 34 Q23 40 29 34 L35 26" {...line} />
      <path d="M10 10 L38 38" {...line} stroke-width={4} />
    </Sign>
  );
}

/** A glove under a pair of goggles: what protects hands and eyes. */
export function Gear() {
  return (
    <Sign>
      <circle cx={15} cy={12} r={7} {...line} />
      <circle cx={33} cy={12} r={7} {...line} />
      <path d="M22 12 H26 M8 10 L3 7 M40 10 L45 7" {...line} />
      <path d="M17 45 V35 L12 29 Q13 25 17 28 V24 Q20 21 22 24 Q25 20 27 24 Q30 22 31 26 V37 L29 45 Z" {...line} />
    </Sign>
  );
}

/** A label with lines of print, the first one heavy: read it. */
export function Label() {
  return (
    <Sign>
      <path d="M8 5 H34 L41 12 V43 H8 Z" {...line} />
      <path d="M15 16 H31" {...line} stroke-width={5} />
      <path d="M15 25 H34 M15 32 H34 M15 38 H26" {...line} stroke-width={2.5} />
    </Sign>
  );
}

/** A person with a paper in hand: somebody who has learned it and may show so. */
export function Trained() {
  return (
    <Sign>
      <circle cx={17} cy={11} r={7} {...line} />
      <path d="M5 44 V32 Q5 23 17 23 Q29 23 29 32 V44" {...line} />
      <path d="M30 18 H44 V38 H30" {...line} />
      <path d="M34 29 L37 32 L41 25" {...line} />
    </Sign>
  );
}

/** A snow crystal behind a door that is ajar: the cold room. */
export function Cold() {
  return (
    <Sign>
      <path d="M6 4 H30 V44 H6 Z M30 4 L42 9 V39 L30 44" {...line} />
      <path d="M18 13 V35 M8.5 18.5 L27.5 29.5 M27.5 18.5 L8.5 29.5" {...line} stroke-width={2.5} />
    </Sign>
  );
}

/** The sun over a cup of water: heat, and what helps. */
export function Hot() {
  return (
    <Sign>
      <circle cx={17} cy={15} r={7} {...line} />
      <path d="M17 2 V4 M4 15 H6 M8 6 L9.5 7.5 M26 6 L24.5 7.5 M30 15 H28 M8 24 L9.5 22.5" {...line} />
      <path d="M24 25 H45 L42 45 H27 Z M25.5 33 H43.5" {...line} />
    </Sign>
  );
}

/** A face behind a dust mask. */
export function Mask() {
  return (
    <Sign>
      <circle cx={24} cy={23} r={16} {...line} />
      <path d="M14 25 Q24 19 34 25 V31 Q24 40 14 31 Z M14 27 L8 22 M34 27 L40 22" {...line} />
    </Sign>
  );
}

/** A person with bent knees and a straight back under a box. */
export function Lift() {
  return (
    <Sign>
      <path d="M27 17 H44 V31 H27 Z" {...line} />
      <circle cx={15} cy={8} r={5} {...line} />
      <path d="M14 14 L12 29 L22 34 L18 44 M13 20 L27 26 M12 29 L8 44" {...line} />
    </Sign>
  );
}

/** Open shears over a glove's cuff. */
export function Blade() {
  return (
    <Sign>
      <path d="M8 5 L30 32 M40 5 L18 32" {...line} />
      <circle cx={14} cy={37} r={6} {...line} />
      <circle cx={34} cy={37} r={6} {...line} />
    </Sign>
  );
}

/** A pair of scales: weigh it, and weigh it again. */
export function Scale() {
  return (
    <Sign>
      <path d="M24 6 V42 M14 43 H34 M7 12 H41" {...line} />
      <path d="M1.5 27 L7 13 L12.5 27 Q7 32 1.5 27 Z M35.5 27 L41 13 L46.5 27 Q41 32 35.5 27 Z" {...line} />
    </Sign>
  );
}

/** A leaf with spots under an eye: look before anything is moved. */
export function Hold() {
  return (
    <Sign>
      <path d="M6 14 Q24 -2 42 14 Q24 30 6 14 Z" {...line} />
      <circle cx={24} cy={14} r={4} fill="currentColor" />
      <path d="M12 44 Q12 28 36 28 Q36 44 12 44 Z M8 46 L24 36" {...line} />
      <circle cx={28} cy={33} r={1.8} fill="currentColor" />
      <circle cx={20} cy={40} r={1.8} fill="currentColor" />
    </Sign>
  );
}

/** A flash in a warning triangle: electricity. */
export function Shock() {
  return (
    <Sign>
      <path d="M24 4 L45 42 H3 Z" {...line} />
      <path d="M26 14 L18 28 H25 L21 38 L32 23 H25 Z" fill="currentColor" />
    </Sign>
  );
}
