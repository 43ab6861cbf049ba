-- +goose Up

-- What of a day is no pot of a walk is read in the order of time, page after page; the pots are only counted.
create index loose_notes_by_time on notes (site, at, position) where walk = '';
