/** A card for each scale, drawn, so that two scouts score alike; and how the way to the next pot is read. */
import type { ComponentChildren } from 'preact';
import { Button } from '../../../parts/Button';
import { back, Link, route, Title } from '../../../router';
import { appWords } from '../../../words';
import { helpWords, walkWords } from '../../../words/rooms';
import '../../../style/help.css';
import { Bud, Cover, Life, Scratch, Severity, Shoot } from '../card/Drawings';

const cards = ['way', 'head', 'buds', 'roots', 'leaves'] as const;
type Card = (typeof cards)[number];

export function Help({ id }: { id?: string }) {
  const card = cards.find((each) => each === id) ?? 'head';
  return (
    <main class="scout help with-foot" key={route.value.path}>
      <Title text={helpWords.value.titles[card]} />
      <nav class="tabs" aria-label={helpWords.value.all}>
        {cards.map((each) => (
          <Link key={each} to={`/help/${each}`} instead aria-current={each === card ? 'page' : undefined}>
            {each === 'way' ? helpWords.value.wayShort : walkWords.value[each]}
          </Link>
        ))}
      </nav>
      <Body card={card} />
      <div class="entrance">
        <Button kind="main" size="walk" onClick={() => back('/')}>
          {appWords.value.common.back}
        </Button>
      </div>
    </main>
  );
}

function Body({ card }: { card: Card }) {
  const help = helpWords.value;
  if (card === 'way') {
    return (
      <>
        <WayDrawing />
        {help.way.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </>
    );
  }
  if (card === 'head') {
    return (
      <>
        <HeadDrawing />
        {help.head.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </>
    );
  }
  if (card === 'buds') {
    return (
      <>
        {help.buds.map((line) => (
          <p key={line}>{line}</p>
        ))}
        <Rows
          rows={(['tight', 'colour', 'candle', 'open'] as const).map((state) => ({
            picture: <Bud state={state} size={72} />,
            name: walkWords.value.budStates[state],
            text: help.budStates[state],
          }))}
        />
      </>
    );
  }
  if (card === 'roots') {
    return (
      <>
        <p>{help.rootsTwo}</p>
        <h2>{walkWords.value.cover}</h2>
        <Rows
          rows={[0, 1, 2, 3, 4, 5].map((step) => ({
            picture: <Cover step={step} size={72} />,
            name: `${step} · ${walkWords.value.coverNames[step] ?? ''}`,
            text: help.cover[step] ?? '',
          }))}
        />
        <h2>{walkWords.value.life}</h2>
        <Rows
          rows={[1, 2, 3, 4, 5].map((step) => ({
            picture: <Life step={step} size={72} />,
            name: `${step} · ${walkWords.value.lifeNames[step] ?? ''}`,
            text: help.life[step] ?? '',
          }))}
        />
        <h2>{walkWords.value.scratchQuestion}</h2>
        <p>{help.scratchHow}</p>
        <Rows
          rows={(['firm_white', 'soft', 'not_scratched'] as const).map((kind) => ({
            picture: <Scratch kind={kind} size={88} />,
            name: appWords.value.common.scratch[kind],
            text: help.scratch[kind],
          }))}
        />
      </>
    );
  }
  return (
    <>
      <p>{help.leavesTrap}</p>
      <Rows
        rows={(['none', 'young', 'old', 'whole'] as const).map((pale) => ({
          picture: <Shoot pale={pale} size={72} />,
          name: walkWords.value.whichNames[pale],
          text: help.leaves[pale],
        }))}
      />
      <h2>{walkWords.value.howMuch}</h2>
      <Rows
        rows={[1, 2, 3, 4].map((step) => ({
          picture: <Severity step={step} size={72} />,
          name: `${step} · ${walkWords.value.severityNames[step] ?? ''}`,
          text: help.severity[step] ?? '',
        }))}
      />
    </>
  );
}

function Rows({ rows }: { rows: readonly { picture: ComponentChildren; name: string; text: string }[] }) {
  return (
    <ul class="scale">
      {rows.map((row) => (
        <li key={row.name}>
          <span class="shown">{row.picture}</span>
          <b>{row.name}</b>
          <span class="small">{row.text}</span>
        </li>
      ))}
    </ul>
  );
}

/** The marks of the guide's drawing, as its lines below name them: you, the way, this pot, the next one, one that is done, both aisles. */
function WayDrawing() {
  return (
    <svg class="head-drawing" viewBox="0 0 320 120" aria-hidden="true">
      <defs>
        <pattern id="help-aisle" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path d="M0 3H6" stroke="var(--u2)" stroke-width="2.5" />
        </pattern>
      </defs>
      <path d="M0 0H320V20H0z" fill="url(#help-aisle)" />
      <path d="M0 100H320V120H0z" fill="var(--u1)" />
      <path d="M0 20H320V100H0z" fill="var(--card)" />
      <g stroke="var(--ink)" stroke-width="2">
        <path d="M0 20H320M0 100H320" />
        <path d="M96 110H208V74" fill="none" stroke-width="3" />
        <circle cx="208" cy="64" r="9" fill="var(--card)" stroke-width="4" />
        <circle cx="270" cy="46" r="6" fill="var(--card)" />
      </g>
      <circle cx="96" cy="84" r="5" fill="var(--leaf)" />
      <path d="M88 110l8-8 8 8-8 8z" fill="var(--on-u1)" />
    </svg>
  );
}

/** A head from above with its two diameters, and from the side with its height above the rim. */
function HeadDrawing() {
  return (
    <svg class="head-drawing" viewBox="0 0 320 140" aria-hidden="true">
      <g fill="none" stroke="var(--ink)" stroke-width="2">
        <path
          d="M80 22c14-8 26 0 34 10 14 2 20 16 16 28 6 12-2 26-14 30-6 12-22 16-34 10-14 6-28-2-32-14-12-6-16-22-8-32-2-16 12-28 24-26 4-4 8-6 14-6z"
          fill="var(--leaf-wash)"
        />
        <circle cx="82" cy="64" r="16" stroke-dasharray="4 3" />
        <path d="M36 124h92m-92-5v10m92-10v10M6 20v88m-5-88h10m-10 88h10" />
        <path d="M210 76c-16-8-12-28 4-30 2-16 22-22 32-12 12-10 32-2 32 14 14 4 16 22 2 28z" fill="var(--leaf-wash)" />
        <path d="M216 76h60l-8 48h-44z" fill="var(--card)" />
        <path d="M302 28v48m-5-48h10m-10 48h10" />
      </g>
      <g fill="var(--ink)" font-size="14" font-weight="700">
        <text x="76" y="138">
          1
        </text>
        <text x="14" y="68">
          2
        </text>
        <text x="308" y="56">
          3
        </text>
      </g>
    </svg>
  );
}
