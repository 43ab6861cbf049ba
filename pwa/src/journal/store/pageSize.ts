/** At most so many rows are read at once, whatever a device holds: more of them would stand in memory together. */
export const PAGE = 500;

/** Of a page that brings fewer notes which may be packed, all stay rows: many small packs would be as slow to look through as rows. */
export const LEAST = 50;

/**
 * At most so many notes lie in one pack, some 45 kB: larger than 64 kB a browser may keep a value as a file of its own outside the database
 * (Chromium, from memory), which is lost more easily than a row.
 */
export const MOST = 200;
