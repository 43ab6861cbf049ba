-- +goose Up

-- What was noted on a day is asked for by the time of its stamp.
create index notes_by_time on notes (site, at);
