/** The stock last printed on, kept on this device: an office mostly has one. */
import { faultsOf, measures, stocks, type Stock } from './stock';

const SLOT = 'bedwalk-label-stock';

export function keptStock(): Stock {
  const fallback = stocks[0] as Stock;
  try {
    const kept = JSON.parse(localStorage.getItem(SLOT) ?? 'null') as Partial<Stock> | null;
    if (!kept || !measures.every((field) => typeof kept[field] === 'number')) return fallback;
    return faultsOf(kept as Stock).length === 0 ? (kept as Stock) : fallback;
  } catch {
    return fallback;
  }
}

export function keepStock(stock: Stock): void {
  try {
    localStorage.setItem(SLOT, JSON.stringify(stock));
  } catch {
    // A device too full for this still prints; it only forgets the measures.
  }
}
