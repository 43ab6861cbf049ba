/** Starts the app: what the first paint needs, then the records, then the sync worker. */
import { databaseOpening } from './journal/store/openDatabaseEarly';
import './style/tokens.css';
import './style/base.css';
import './style/parts.css';
import './style/table.css';
import './style/scout.css';
import './style/today.css';
import { render } from 'preact';
import { App, fetchAhead, Unable } from './app';
import { startWorker } from './journal/worker/syncClient';
import { start } from './journal/start';
import { startRouter } from './router';
import { me, startState } from './state';
import { startUpdates } from './update';
import { awaitTables } from './words/format';

/** When the first screen has long been drawn and the first pull is over: time for what only a later screen needs. */
const LATER_MS = 10_000;

const root = document.getElementById('app') ?? document.body;

if (!isSecureContext || !databaseOpening) {
  render(<Unable />, root);
} else {
  startRouter();
  const started = start(startState(), me);
  fetchAhead();
  render(<App />, root);
  awaitTables(startWorker());
  void started.finally(startUpdates);
  setTimeout(() => {
    void import('./screens/work/scan/warm').then((it) => it.warm());
    void import('./views/views').then((it) => it.keepBriefing());
  }, LATER_MS);
}
