import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import { canonicalRecord, parseSum, sumHex } from '../journal/journal.ts';
import type { Record } from '../../schema/types';

/** One record's part in the hash over all records; add them up with addSum, and change the sum record by record. */
export function recordHash(record: Record): bigint {
  return textHash(canonicalRecord(record));
}

/** The same for a record whose canonical text is at hand. */
export function textHash(text: string): bigint {
  const hash = sha256(utf8ToBytes(text));
  return parseSum(bytesToHex(hash.subarray(0, 16)));
}

/** The hash over all records, from the sum of their hashes, as a digest carries it: 64 hexadecimal digits. */
export function totalHex(sum: bigint): string {
  return bytesToHex(sha256(hexToBytes(sumHex(sum))));
}
