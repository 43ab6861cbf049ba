/** On a phone: the four places of a supervisor at the thumb, and every page behind the last of them. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Dialog } from '../../parts/Dialog';
import { Link, route } from '../../router';
import { supervisorWords } from '../../words/supervisor';

const pages = ['beds', 'lots', 'plan', 'crops', 'scouts', 'phones', 'setup', 'settings'] as const;

export function Foot() {
  const [isOpen, open] = useState(false);
  const words = supervisorWords.value;
  const { tabs } = words.morning;
  const { path, query } = route.value;
  const isPlan = path === '/beds' && query.get('part') === 'plan';
  const tab = (to: string, is: boolean, label: ComponentChildren) => (
    <Link to={to} aria-current={is ? 'page' : undefined}>
      {label}
    </Link>
  );
  return (
    <nav class="tabfoot" aria-label={words.pages.nav}>
      {tab('/beds', path === '/beds' && !isPlan, tabs.needs)}
      {tab('/beds?part=plan', isPlan, tabs.beds)}
      {tab('/plan/tomorrow', path === '/plan/tomorrow', tabs.tomorrow)}
      <button type="button" aria-expanded={isOpen} onClick={() => open(true)}>
        {tabs.more}
      </button>
      <Dialog title={tabs.more} open={isOpen} onClose={() => open(false)}>
        <ul class="morepages">
          {pages.map((page) => (
            <li key={page}>
              <Link to={`/${page}`} class="button plain tap">
                {words.pages[page]}
              </Link>
            </li>
          ))}
          <li>
            <Link to="/today" class="button plain tap">
              {words.pages.walk}
            </Link>
          </li>
        </ul>
      </Dialog>
    </nav>
  );
}
