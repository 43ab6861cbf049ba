/** What nurseries side by side are called, and what each of them lacks, in words. */
import type { GroupView, NurseryBrief } from '../../../../../schema/types';
import { dateOf } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';

/** A nursery by the name that tells it from the others. */
export interface Named {
  name: string;
  site: string;
  away: string;
  brief?: NurseryBrief;
}

/** They are called as they call themselves, and by their name in the database too where two do so alike or one has not said. */
export function named(view: GroupView): Named[] {
  const own = view.nurseries.map((one) => one.brief?.name ?? '');
  return view.nurseries.map((one, at) => {
    const name = own[at] ?? '';
    const alone = name !== '' && own.indexOf(name) === own.lastIndexOf(name);
    return {
      name: name === '' ? one.site : alone ? name : `${name} (${one.site})`,
      site: one.site,
      away: one.away ?? '',
      ...(one.brief ? { brief: one.brief } : {}),
    };
  });
}

/** What is missing to say more of a nursery, the most telling first. */
export function missing({ name, away, brief }: Named): string[] {
  const words = supervisorWords.value.group.missing;
  if (!brief)
    return [away === 'slow' ? words.slow(name) : away === 'not_served' ? words.not_served(name) : words.failed(name)];
  const lines: string[] = [];
  if (brief.beds === 0) lines.push(words.noBeds(name));
  else if (brief.walked_at === 0) lines.push(words.never(name));
  else if (brief.recent === 0) lines.push(words.none(name, brief.recent_days, dateOf(brief.walked_at)));
  else if (brief.recent < brief.beds || brief.unfinished > 0)
    lines.push(words.some(name, brief.recent, brief.beds, brief.recent_days, brief.unfinished));
  if (brief.weeks.length === 0) lines.push(words.noBookings(name, brief.weeks_before, brief.weeks_after));
  if (brief.unplaced > 0) lines.push(words.unplaced(name, brief.unplaced));
  return lines;
}
