import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { useEffect, useRef, useState } from 'preact/hooks';
import { readLogger, type Answers, type Reading } from './logger';
import { readLines, type LoggerLines } from './loggerLines';
import { turnByTurn, type InPieces } from './pieces';

interface UnderWay {
  /** The last one that was finished; it may be of other answers while one is under way. */
  reading: Reading | undefined;
  /** How much of the one that is under way is done, from 0 to 1; undefined when none is. */
  done: number | undefined;
}

/** Lines take that much of the time, what is made of them the rest. */
const LINES = 0.75;

/** Reads a logger's file, and again with each answer, while the page stays in use: a file may have hundreds of thousands of lines. */
export function useReading(text: string, answers: Answers, zone: string): UnderWay {
  const [made, finish] = useState<{ answers: Answers; zone: string; reading: Reading } | undefined>(undefined);
  const [done, advance] = useState(0);
  const [fault, stumble] = useState<{ error: unknown } | undefined>(undefined);
  const kept = useRef<{ chosen: string; lines: LoggerLines } | undefined>(undefined);
  useEffect(() => {
    let isWanted = true;
    const read = async () => {
      // Most answers change nothing of the lines.
      const chosen = `${answers.time} ${answers.temp}`;
      let lines = kept.current?.chosen === chosen ? kept.current.lines : undefined;
      const before = lines ? 0 : LINES;
      lines ??= await turnByTurn(
        readLines(text, answers),
        (part) => advance(part * LINES),
        () => isWanted,
      );
      if (!lines) return;
      kept.current = { chosen, lines };
      const reading = await turnByTurn(
        readLogger(lines, answers, zone, Date.now()),
        (part) => advance(before + part * (1 - before)),
        () => isWanted,
      );
      if (!reading) return;
      finish({ answers, zone, reading });
      advance(0);
    };
    read().catch((error: unknown) => stumble({ error }));
    return () => {
      isWanted = false;
    };
  }, [text, answers, zone]);
  if (fault) throw fault.error;
  const isMade = made?.answers === answers && made.zone === zone;
  return { reading: made?.reading, done: isMade ? undefined : done };
}

const BYTES = 262_144;

/** The SHA-256 of a file's bytes, in hexadecimal digits. */
export function* hashOf(bytes: Uint8Array): InPieces<string> {
  const hash = sha256.create();
  for (let at = 0; at < bytes.length; at += BYTES) {
    hash.update(bytes.subarray(at, at + BYTES));
    yield at / bytes.length;
  }
  return bytesToHex(hash.digest());
}
