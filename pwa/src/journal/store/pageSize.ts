/** At most so many rows are read at once, whatever a device holds: more of them would stand in memory together. */
export const PAGE = 500;

/** Of a page that brings fewer notes which may be packed, all stay rows: many small packs would be as slow to look through as rows. */
export const LEAST = 50;
