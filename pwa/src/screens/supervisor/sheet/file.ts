/** A file that somebody chose, as the text of its sheets, or why it cannot be read. */
import { decimalMark } from '../../../forms/typed';
import { textOf } from './cells';
import { MOST_ROWS } from './reading';
import type { SheetText } from './workbook';
import type { Asked, Told } from './xlsx.worker';

/** Why a file is not read; each has a sentence of its own that says what to do. */
export type FileProblem = 'large' | 'old' | 'other' | 'damaged' | 'slow' | 'empty' | 'gone';

/** No list of beds and lots is larger; unpacked, a workbook takes several times its size in memory. */
export const MOST_BYTES = 20_000_000;
const MOST_UNPACKED = 100_000_000;
/** A workbook of 2,000 rows takes less than a second (measured). */
const WITHIN_MS = 30_000;

export type FileRead = { sheets: readonly SheetText[] } | { problem: FileProblem };

export async function readFile(file: File, open = readWorkbook): Promise<FileRead> {
  if (file.size > MOST_BYTES) return { problem: 'large' };
  let bytes: ArrayBuffer;
  try {
    bytes = await file.arrayBuffer();
  } catch {
    return { problem: 'gone' };
  }
  switch (kindOf(new Uint8Array(bytes))) {
    case 'cfb':
      return { problem: 'old' };
    case 'zip': {
      const zip = directoryOf(bytes);
      if (!zip) return { problem: 'damaged' };
      if (!zip.names.includes('xl/workbook.xml')) return { problem: 'other' };
      return zip.unpacked > MOST_UNPACKED ? { problem: 'large' } : open(bytes);
    }
    case 'other':
      return { problem: 'other' };
    default: {
      const text = textOf(bytes);
      return text.trim() === '' ? { problem: 'empty' } : { sheets: [{ name: '', text, rows: 0 }] };
    }
  }
}

/** By its first bytes: files are called by any name. */
function kindOf(bytes: Uint8Array): 'zip' | 'cfb' | 'text' | 'other' {
  const begins = (...head: number[]) => head.every((byte, at) => bytes[at] === byte);
  // PK; and the container of .xls and of workbooks with a password (Microsoft, MS-CFB 2.2).
  if (begins(0x50, 0x4b, 3, 4)) return 'zip';
  if (begins(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1)) return 'cfb';
  const isWide = begins(0xff, 0xfe) || begins(0xfe, 0xff);
  return !isWide && bytes.subarray(0, 4096).includes(0) ? 'other' : 'text';
}

/** What the directory at the end of a zip says (PKWARE APPNOTE 4.3.12 and 4.3.16). */
function directoryOf(bytes: ArrayBuffer): { names: string[]; unpacked: number } | undefined {
  const view = new DataView(bytes);
  let end = bytes.byteLength - 22;
  while (end >= 0 && view.getUint32(end, true) !== 0x06054b50) end--;
  if (end < 0) return undefined;
  const names: string[] = [];
  let unpacked = 0;
  let at = view.getUint32(end + 16, true);
  for (let left = view.getUint16(end + 10, true); left > 0; left--) {
    if (at + 46 > bytes.byteLength || view.getUint32(at, true) !== 0x02014b50) return undefined;
    unpacked += view.getUint32(at + 24, true);
    const long = view.getUint16(at + 28, true);
    names.push(new TextDecoder().decode(new Uint8Array(bytes, at + 46, long)));
    at += 46 + long + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return { names, unpacked };
}

async function readWorkbook(bytes: ArrayBuffer): Promise<FileRead> {
  const worker = new Worker(new URL('./xlsx.worker.ts', import.meta.url), { type: 'module' });
  try {
    return await new Promise<FileRead>((done) => {
      const late = setTimeout(() => done({ problem: 'slow' }), WITHIN_MS);
      worker.addEventListener('error', () => done({ problem: 'damaged' }), { once: true });
      worker.addEventListener('message', ({ data }: MessageEvent<Told>) => {
        clearTimeout(late);
        if ('refused' in data) done({ problem: 'damaged' });
        else done(data.sheets.length === 0 ? { problem: 'empty' } : data);
      });
      // One row more than is read says that there are more.
      worker.postMessage({ bytes, mark: decimalMark(), most: MOST_ROWS + 2 } satisfies Asked, [bytes]);
    });
  } finally {
    worker.terminate();
  }
}
