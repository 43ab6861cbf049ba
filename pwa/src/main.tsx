/** Starts the app: what the first paint needs, then the records, then the courier. */
import './style/tokens.css';
import './style/base.css';
import './style/parts.css';
import './style/scout.css';
import { render } from 'preact';
import { App, Unable } from './app';
import { start } from './journal/start';
import { startRouter } from './router';
import { startState } from './state';
import { startUpdates } from './update';

const root = document.getElementById('app') ?? document.body;

if (!isSecureContext || typeof indexedDB === 'undefined') {
  render(<Unable />, root);
} else {
  startRouter();
  const known = startState();
  render(<App />, root);
  void known.then(start).then(() => import('./screens/work/scan/warm').then((it) => it.warm()));
  startUpdates();
}
