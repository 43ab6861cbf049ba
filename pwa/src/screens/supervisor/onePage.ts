/** Makes a page as small as one sheet of paper needs it, A4 or Letter. */
import { useEffect } from 'preact/hooks';

/** What both sheets have within the margins of supervisor-print.css; a little is left for what a screen lays out otherwise. */
const WIDE = '186mm';
const HIGH_MM = 230;
/** Smaller than this nobody reads it: such a page takes two sheets. */
const LEAST = 0.38;
const MOST = 0.78;
const STEP = 0.02;

/** Finds the size each time that something is printed, since the page may have changed. */
export function useOnePage(): void {
  useEffect(() => {
    const fit = () => {
      const page = document.querySelector<HTMLElement>('.supervisor');
      const main = page?.querySelector('main');
      if (page && main) asPrinted(() => shrink(page, main));
    };
    const over = () => document.querySelector('main')?.style.removeProperty('zoom');
    addEventListener('beforeprint', fit);
    addEventListener('afterprint', over);
    return () => {
      removeEventListener('beforeprint', fit);
      removeEventListener('afterprint', over);
    };
  }, []);
}

function shrink(page: HTMLElement, main: HTMLElement): void {
  page.style.width = WIDE;
  const most = page.getBoundingClientRect().width * (HIGH_MM / Number.parseFloat(WIDE));
  for (let size = MOST; size >= LEAST; size -= STEP) {
    main.style.zoom = size.toFixed(2);
    if (page.getBoundingClientRect().height <= most) break;
  }
  page.style.removeProperty('width');
}

/** Has the rules for paper hold on the screen for the length of a measurement; nothing of it is drawn. */
function asPrinted(measure: () => void): void {
  const rules = [...document.styleSheets].flatMap((sheet) => paperRules(sheet.cssRules));
  for (const rule of rules) rule.media.mediaText = 'all';
  try {
    measure();
  } finally {
    for (const rule of rules) rule.media.mediaText = 'print';
  }
}

function paperRules(rules: CSSRuleList): CSSMediaRule[] {
  return [...rules].flatMap((rule) => {
    if (rule instanceof CSSMediaRule && rule.media.mediaText === 'print') return [rule];
    return 'cssRules' in rule ? paperRules(rule.cssRules as CSSRuleList) : [];
  });
}
