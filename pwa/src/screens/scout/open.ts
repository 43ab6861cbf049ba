import { walks, type WalkRow } from '../../journal/things';

/** A walk of this bed that this person opened and did not end; it can be gone on with for days. Second looks stand apart. */
export function openWalk(bed: string, person: string | undefined): WalkRow | undefined {
  return openWalks(person).find((walk) => walk.bed === bed && walk.open?.round === undefined);
}

const GO_ON_MS = 14 * 24 * 60 * 60 * 1000;

export function openWalks(person: string | undefined): WalkRow[] {
  const since = Date.now() - GO_ON_MS;
  return [...walks.value.values()]
    .filter((walk) => walk.by?.person === person && walk.end === undefined && walk.at > since)
    .sort((a, b) => b.at - a.at);
}
