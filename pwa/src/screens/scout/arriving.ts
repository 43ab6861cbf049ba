import { courier } from '../../journal/courier';

/** Whether records may still be on their way from the server, or the server has said that there is nothing more. */
export function cursorState(): 'arriving' | 'settled' {
  return courier.value.state === 'resting' ? 'settled' : 'arriving';
}
