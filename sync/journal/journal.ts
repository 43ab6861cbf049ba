/** The bytes of an entry, its chain and its digest: the phone's half of package journal, and all of it. */
export { canonical, canonicalRecord, JournalError, MAX_DEPTH } from './canonical.ts';
export { parse } from './parse.ts';
export { addSum, chain, chainHex, entryHash, noChain, parseChain, parseSum, subSum, sumHex } from './digest.ts';
