/**
 * Sends photos to the server, after the notes and never in their way, by the part of tus 1.0.0
 * (https://tus.io/protocols/resumable-upload) that the server speaks: an upload is named by its picture's hash, so what
 * was cut goes on at its offset, and what the server has already is done at once.
 */
import { publish } from '../store/changes';
import { dropPhotos, keepPhoto, photoOf, type PhotoRow } from './photos';
import { confirmedPhotos, queuedPhotos } from './photosInShort';
import { isLow, refreshEstimate } from '../store/storage';
import { Refusal, refusalOf, request } from '../wire';

/** A cut costs at most one part. */
const PART_BYTES = 128 * 1024;
const PATIENCE_MS = 60_000;
/** Confirmed photos that stay on the phone, newest first, so that the last walk's can be seen out of range. */
const KEPT_BYTES = 20_000_000;
/** More turns than parts and lost answers would ever need: beyond this, server and phone talk at cross purposes. */
const SPARE_TURNS = 8;

type Answered = Awaited<ReturnType<typeof request>>;

/** Sends the pending photos, oldest first. @throws Refusal */
export async function sendPhotos(): Promise<void> {
  for (const { hash } of await queuedPhotos()) {
    const photo = await photoOf(hash);
    // Taken back meanwhile, with its note.
    if (!photo) continue;
    await sendOne(photo);
    await confirm(photo);
  }
  await makeRoom();
}

async function sendOne(photo: PhotoRow): Promise<void> {
  const total = photo.bytes.byteLength;
  let offset = await begin(photo);
  const most = Math.ceil(total / PART_BYTES) + SPARE_TURNS;
  for (let turn = 0; offset < total; turn++) {
    if (turn > most) throw new Refusal('busy');
    offset = await part(photo, offset);
  }
}

async function begin(photo: PhotoRow): Promise<number> {
  const given = await speak('/api/photos', {
    method: 'POST',
    headers: { 'Upload-Length': String(photo.bytes.byteLength), 'Upload-Metadata': `hash ${btoa(photo.hash)}` },
  });
  if (given.answer.status !== 201) throw refusal(given);
  return offsetOf(given, photo);
}

/** Sends one part. @returns where the next one begins, as the server says */
async function part(photo: PhotoRow, offset: number): Promise<number> {
  const given = await speak(`/api/photos/${photo.hash}`, {
    method: 'PATCH',
    headers: { 'Upload-Offset': String(offset), 'Content-Type': 'application/offset+octet-stream' },
    body: photo.bytes.slice(offset, offset + PART_BYTES),
  });
  if (given.answer.status === 204) return offsetOf(given, photo);
  // An answer that never came leaves the phone behind the server: ask where it is, and go on from there.
  if (given.answer.status === 409) return where(photo);
  // The bytes that arrived were not the picture: the server dropped them, and it is sent again from the start.
  if (given.answer.status === 460 || given.answer.status === 404) return begin(photo);
  throw refusal(given);
}

async function where(photo: PhotoRow): Promise<number> {
  const given = await speak(`/api/photos/${photo.hash}`, { method: 'HEAD' });
  if (given.answer.status !== 200) throw refusal(given);
  return offsetOf(given, photo);
}

async function speak(path: string, init: RequestInit): Promise<Answered> {
  const headers = { 'Tus-Resumable': '1.0.0', ...(init.headers as Record<string, string> | undefined) };
  return request(path, { ...init, headers }, PATIENCE_MS);
}

/** Only an answer that speaks tus is the server's; a portal's page has no offset. */
function offsetOf({ answer }: Answered, photo: PhotoRow): number {
  const offset = Number(answer.headers.get('Upload-Offset') ?? Number.NaN);
  if (!isTus(answer) || !Number.isSafeInteger(offset) || offset < 0 || offset > photo.bytes.byteLength) {
    throw new Refusal('portal');
  }
  return offset;
}

function refusal({ answer, body }: Answered): Refusal {
  return refusalOf(answer, body, isTus(answer));
}

function isTus(answer: Response): boolean {
  return answer.headers.get('Tus-Resumable') === '1.0.0';
}

async function confirm(photo: PhotoRow): Promise<void> {
  const { pending: _, ...sent } = photo;
  await keepPhoto(sent);
  publish({ queue: true });
}

/** Drops the oldest photos that the server has confirmed: all of them where the phone is nearly full. */
async function makeRoom(): Promise<void> {
  await refreshEstimate();
  let left = isLow() ? 0 : KEPT_BYTES;
  const dropped: string[] = [];
  for (const { hash, bytes } of await confirmedPhotos()) {
    left -= bytes;
    if (left < 0) dropped.push(hash);
  }
  if (dropped.length > 0) await dropPhotos(dropped);
}
