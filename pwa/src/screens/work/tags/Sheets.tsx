import { useLayoutEffect } from 'preact/hooks';
import type { Lot } from '../../../../../schema/types';
import type { Plain } from '../../../journal/records/registers';
import { day } from '../../../words/format';
import { workWords } from '../../../words/rooms';
import { codeOf } from '../../../forms/code';
import { potSize } from '../../../words/entry';
import { Code } from './Code';
import { codeSide, isTall, pagesOf, spotOf, typeSize, type Stock } from './stock';

interface Props {
  tags: readonly Plain<Lot>[];
  stock: Stock;
  used: number;
}

/** The tags as they will lie on paper: the same millimetres on the screen and in print. */
export function Sheets({ tags, stock, used }: Props) {
  usePage(stock);
  const side = codeSide(stock);
  return (
    <div class="sheets">
      {pagesOf(tags, stock, used).map((page, index) => (
        <section
          key={index}
          class="tag-page"
          aria-label={workWords.value.spot.tags.sheetNo(index + 1)}
          style={{ width: `${stock.pageWide}mm`, height: `${stock.pageHigh}mm` }}
        >
          {page.map(({ nth, tag }) => {
            const { left, top } = spotOf(stock, nth);
            return (
              <div
                key={nth}
                class={`tag ${isTall(stock) ? 'tall' : ''}`}
                style={{ left: `${left}mm`, top: `${top}mm`, width: `${stock.wide}mm`, height: `${stock.high}mm` }}
              >
                <Code text={codeOf(tag)} side={side} />
                <Printed lot={tag} size={typeSize(stock)} />
              </div>
            );
          })}
        </section>
      ))}
    </div>
  );
}

/** What people read: tag and cultivar first, then how old and how large. A date that nobody knows is left out. */
function Printed({ lot, size }: { lot: Plain<Lot>; size: number }) {
  const words = workWords.value.spot.tags;
  return (
    <div class="printed" style={{ fontSize: `${size}mm` }}>
      <b>{lot.tag}</b>
      <span>{lot.cultivar}</span>
      {lot.struck_on && (
        <small>
          {words.stuck} {day(lot.struck_on)}
        </small>
      )}
      {lot.potted_on && (
        <small>
          {words.potted} {day(lot.potted_on)}
        </small>
      )}
      {lot.pot_mm !== undefined && <small>{words.potOf(potSize(lot.pot_mm))}</small>}
    </div>
  );
}

/** Makes the printed page as large as the stock. A sheet of its own, since the page's measures are known only here. */
export function usePage(stock: Pick<Stock, 'pageWide' | 'pageHigh'>): void {
  // With the tags themselves: who prints at once would get the paper that the browser takes by itself.
  useLayoutEffect(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`@page { size: ${stock.pageWide}mm ${stock.pageHigh}mm; margin: 0 }`);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((each) => each !== sheet);
    };
  }, [stock.pageWide, stock.pageHigh]);
}
