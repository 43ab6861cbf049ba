/** At most so many rows are read at once, whatever a device holds: more of them would stand in memory together. */
export const PAGE = 500;
