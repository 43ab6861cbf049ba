-- +goose Up

-- What was noted on a day is asked for by the day of its stamp: of days by the clock of Greenwich, since a day takes fewer bytes than a time.
create index notes_by_day on notes (at / 86400000);
