import { Link, route } from '../../router';
import { me, queue } from '../../state';
import { appWords } from '../../words';

/** The scout's three screens, at the thumb; and for whoever has an office too, the way back to it. */
export function Bar() {
  const words = appWords.value.scout.nav;
  const at = route.value.path;
  const hasOffice = me.value !== undefined && me.value.role !== 'scout';
  const home = hasOffice ? '/today' : '/';
  const link = (to: string, label: string) => (
    <Link to={to} aria-current={at === to ? 'page' : undefined}>
      {label}
    </Link>
  );
  const count = queue.value.pending;
  return (
    <nav class={hasOffice ? 'bar four' : 'bar'} aria-label={words.label}>
      {link(home, words.today)}
      {link('/notes', count > 0 ? `${words.notes} (${count})` : words.notes)}
      {link('/settings', words.settings)}
      {hasOffice && link('/beds', words.beds)}
    </nav>
  );
}
