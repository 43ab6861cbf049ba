import type { Application, Judged, Profile } from '../../schema/types.ts';

const HOUR_MS = 60 * 60 * 1000;

/** A profile's values filled into what a crop is judged by; one that the profile leaves out or has emptied stays base's. */
export function judgedFrom(profile: Partial<Profile>, base: Judged): Judged {
  const judged = { ...base };
  for (const name of Object.keys(judged) as (keyof Judged)[]) {
    if (name === 'grades') judged.grades = profile.grades ?? base.grades;
    else judged[name] = profile[name] ?? base[name];
  }
  return judged;
}

/** judgedFrom for a folded profile register: each field's shown value. */
export function judgedFromFields(fields: Readonly<Record<string, { value: unknown }>>, base: Judged): Judged {
  const values = Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, field.value]));
  return judgedFrom(values as Partial<Profile>, base);
}

/** When the last label entry interval on a bed ends (ms since 1970), 0 when no application names the bed. */
export function closedUntil(applications: readonly Application[], bed: string): number {
  return applications
    .filter((a) => a.beds.includes(bed))
    .reduce((until, a) => Math.max(until, a.ended_at + a.entry_hours * HOUR_MS), 0);
}
