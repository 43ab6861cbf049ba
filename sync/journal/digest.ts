/** Chain hash and digest of a device's entries. Go twin: digest.go. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import type { Stamp } from '../../schema/types';
import { canonical } from './canonical.ts';

/** The chain hash before a device's first entry. */
export const noChain: Uint8Array = new Uint8Array(32);

/** The chain hash after an entry: SHA-256 of the hash before it and its canonical bytes. */
export function chain(previous: Uint8Array, entry: string): Uint8Array {
  return sha256.create().update(previous).update(utf8ToBytes(entry)).digest();
}

/** A chain hash as it is sent: "" before the first entry, else 64 hexadecimal digits. */
export function chainHex(hash: Uint8Array): string {
  return hash.every((byte) => byte === 0) ? '' : bytesToHex(hash);
}

export function parseChain(text: string): Uint8Array {
  if (text === '') return noChain;
  if (!/^[0-9a-f]{64}$/.test(text)) {
    throw new RangeError(`not a chain hash: "${text}"`);
  }
  return hexToBytes(text);
}

/** One entry's part in its lot's digest, from its canonical text and the server's stamp. */
export function entryHash(entry: string, stamp: Stamp): bigint {
  const hash = sha256(utf8ToBytes(`${entry}\n${canonical(stamp)}`));
  const view = new DataView(hash.buffer, hash.byteOffset);
  return (view.getBigUint64(0) << 64n) | view.getBigUint64(8);
}

/** a + b modulo 2^128. */
export function addSum(a: bigint, b: bigint): bigint {
  return BigInt.asUintN(128, a + b);
}

/** a - b modulo 2^128. */
export function subSum(a: bigint, b: bigint): bigint {
  return BigInt.asUintN(128, a - b);
}

/** A sum as it is sent: 32 lower-case hexadecimal digits. */
export function sumHex(sum: bigint): string {
  return sum.toString(16).padStart(32, '0');
}

export function parseSum(text: string): bigint {
  if (!/^[0-9a-f]{32}$/.test(text)) {
    throw new RangeError(`not a digest sum: "${text}"`);
  }
  return BigInt(`0x${text}`);
}
