/** Opens the database before the rest of the script runs, which takes a slow phone longer than the disk needs. */
import { base } from './base';

/** Undefined where the browser has no database, or withholds it. */
export const databaseOpening = typeof indexedDB === 'undefined' ? undefined : base();
