import { courier } from '../../journal/carrier';

/** True while a long reading of the server's records is under way, or may still begin. */
export function isArriving(): boolean {
  const { state, done, of } = courier.value;
  return state !== 'resting' || done < of;
}

/** How far a long reading has come, 0 to 1; undefined when there is none worth showing. */
export function arrived(): number | undefined {
  const { state, done, of } = courier.value;
  return state === 'carrying' && of - done > 500 ? done / of : undefined;
}
