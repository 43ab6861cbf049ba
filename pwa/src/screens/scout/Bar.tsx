import { Link, route } from '../../router';
import { me, queue } from '../../state';
import { t } from '../../words';

/** The scout's three screens, at the thumb. */
export function Bar() {
  const words = t.value.scout.nav;
  const at = route.value.path;
  const home = me.value?.role === 'scout' ? '/' : '/today';
  const link = (to: string, label: string) => (
    <Link to={to} aria-current={at === to ? 'page' : undefined}>
      {label}
    </Link>
  );
  const count = queue.value.waiting;
  return (
    <nav class="bar" aria-label={words.label}>
      {link(home, words.today)}
      {link('/notes', count > 0 ? `${words.notes} (${count})` : words.notes)}
      {link('/settings', words.settings)}
    </nav>
  );
}
