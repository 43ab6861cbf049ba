/** Addresses and how one gets from one to another. Each change of screen moves the focus to its title. */
import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { unbroken } from './parts/Unbroken';

export interface Route {
  path: string;
  /** The path in its parts: "/bed/7" is ["bed", "7"]. */
  parts: readonly string[];
  query: URLSearchParams;
}

export const route = signal<Route>(read());

/** Goes to another address of the app; with `instead` the present one is left out of the way back. */
export function go(path: string, options: { instead?: boolean } = {}): void {
  if (options.instead) history.replaceState(null, '', path);
  else history.pushState(null, '', path);
  arrive();
}

export function back(otherwise: string): void {
  if (history.length > 1) history.back();
  else go(otherwise, { instead: true });
}

export function startRouter(): void {
  addEventListener('popstate', arrive);
}

function arrive(): void {
  const before = route.value.path;
  route.value = read();
  if (route.value.path === before) return;
  scrollTo(0, 0);
  requestAnimationFrame(() => document.querySelector<HTMLElement>('main h1')?.focus({ preventScroll: true }));
}

function read(): Route {
  const { pathname, search } = location;
  return { path: pathname, parts: pathname.split('/').filter(Boolean), query: new URLSearchParams(search) };
}

interface LinkProps {
  to: string;
  class?: string;
  /** In place of the screen it stands on, as a tab does: Back leads past them all. */
  instead?: boolean;
  'aria-current'?: 'page' | undefined;
  children: ComponentChildren;
}

/** A link inside the app; opened in a new tab like any other when the person asks for that. */
export function Link({ to, instead = false, children, ...rest }: LinkProps) {
  const follow = (event: MouseEvent) => {
    if (event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.defaultPrevented) return;
    event.preventDefault();
    go(to, { instead });
  };
  return (
    <a href={to} onClick={follow} {...rest}>
      {children}
    </a>
  );
}

/** The title of a screen: takes the focus when one arrives, and names the tab. */
export function Title({ text }: { text: string }) {
  document.title = `${text} · Bedwalk`;
  return <h1 tabIndex={-1}>{unbroken(text)}</h1>;
}
