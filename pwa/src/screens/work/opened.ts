/** Whether the form on the screen was opened from the sheet, so that saving it leads back there and not to a second sheet. */
import { go } from '../../router';

let from = '';

export function openFromSheet(address: string): void {
  go(address);
  from = address;
}

export function isFromSheet(): boolean {
  return from !== '' && from === `${location.pathname}${location.search}`;
}
