-- +goose NO TRANSACTION
-- +goose Up

-- What of a day is no pot of a walk is read in the order of time, page after page; the pots are only counted.
set lock_timeout = 0;
drop index concurrently if exists loose_notes_by_time;
create index concurrently loose_notes_by_time on notes (site, at, position) where walk = '';
reset lock_timeout;
