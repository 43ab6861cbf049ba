/** Cards for measuring heads in photos: a code of known size on each, and a bar that shows whether the printer kept it. */
import { encode } from 'uqr';
import { BAR_MM, CARD_MM, cardCode } from '../../../forms/headcard';
import { number } from '../../../words/format';
import { headWords } from '../../../words/es/head';
import { Code } from './Code';
import { QUIET, type Stock } from './stock';
import { usePage } from './Sheets';

/** On paper that is too small for the bar and two rows of cards they are laid out for A4. */
const A4 = { pageWide: 210, pageHigh: 297 };
const LEAST = { wide: 195, high: 260 };
const CARDS = 6;

/** Each opening of the page is another printing, and a printing is measured once: its cards carry its letters. */
export function randomPrint(): string {
  const [value = 0] = crypto.getRandomValues(new Uint16Array(1));
  return value.toString(16).toUpperCase().padStart(4, '0');
}

export function Cards({ stock, print }: { stock: Stock; print: string }) {
  const words = headWords.value.card;
  const paper = stock.pageWide >= LEAST.wide && stock.pageHigh >= LEAST.high ? stock : A4;
  usePage(paper);
  const text = cardCode({ mm: CARD_MM, print });
  const modules = encode(text, { ecc: 'Q', border: 0 }).size;
  return (
    <div class="sheets">
      <section
        class="tag-page head-cards"
        aria-label={words.sheet}
        style={{ width: `${paper.pageWide}mm`, height: `${paper.pageHigh}mm` }}
      >
        <p>
          <span class="head-bar" style={{ width: `${BAR_MM}mm` }} />
          {words.bar(number(BAR_MM), print)}
        </p>
        <div class="cards">
          {Array.from({ length: CARDS }, (_, i) => (
            <div key={i} class="head-card">
              <Code text={text} side={(CARD_MM * (modules + 2 * QUIET)) / modules} />
              <b>{words.name(print)}</b>
              <small>{words.lay}</small>
            </div>
          ))}
        </div>
      </section>
    </div>
  );
}
