/** Of a page that brings fewer notes which may be packed, all stay rows: many small packs would be as slow to look through as rows. */
export const LEAST = 50;
