/**
 * Pairs this phone by a one-time code. The server takes a code once; so that an answer which is lost on the way does not
 * spend it, the phone draws a secret for the code and sends it with each try. By the secret the server knows the same
 * phone again and repeats its answer. The secret outlives a closed app, and is dropped when the phone is paired.
 */
import type { Me } from '../../../schema/types';
import { become } from './identity';
import { base } from './store/base';
import { randomId } from './store/device';
import type { Cursor } from './store/shape';
import { pair } from './wire';

const SLOT = 'bedwalk-pairing';

interface Try {
  code: string;
  secret: string;
}

let latest: Try | undefined;

/** @throws Refusal; pairing again with the same code is then safe */
export async function pairThisPhone(code: string, name: string): Promise<Me> {
  const epoch = await epochHere();
  const pairing = await pair({ code, name, secret: secretFor(code), ...(epoch !== undefined && { epoch }) });
  await become(pairing);
  latest = undefined;
  try {
    localStorage.removeItem(SLOT);
  } catch {
    // The code is spent, and the secret good for nothing.
  }
  return pairing;
}

/** Of a phone whose database cannot be read nobody knows; it is paired as one that is new. */
async function epochHere(): Promise<string | undefined> {
  try {
    return ((await (await base()).get('meta', 'cursor')) as Cursor | undefined)?.epoch;
  } catch {
    return undefined;
  }
}

function secretFor(code: string): string {
  const begun = latest ?? kept();
  if (begun?.code === code) return begun.secret;
  latest = { code, secret: randomId() + randomId() };
  try {
    localStorage.setItem(SLOT, JSON.stringify(latest));
  } catch {
    // Then it lasts as long as the app stays open.
  }
  return latest.secret;
}

function kept(): Try | undefined {
  try {
    const begun = JSON.parse(localStorage.getItem(SLOT) ?? 'null') as Try | null;
    return typeof begun?.code === 'string' && /^[0-9a-f]{64}$/.test(begun.secret) ? begun : undefined;
  } catch {
    return undefined;
  }
}
