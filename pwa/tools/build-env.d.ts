/** What the build hands to the service worker; see service-worker.ts. No other code has these. */

/** Every file of the app as a path from the origin, the start page as "/". */
declare const __PRECACHE__: readonly string[];

/** A short hash over all of those files: two builds with the same files have the same id. */
declare const __BUILD_ID__: string;
