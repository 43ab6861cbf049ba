-- +goose Up

-- What was computed of each bed's walks: made again from the records at any time, and kept so that a start need not.
create table bed_scores (
  bed  text primary key,
  json blob not null
) strict, without rowid;

-- The head up to which all of it holds, and by which measures it was made; one row, or none while nothing holds.
create table scores_at (
  measures text primary key,
  head     integer not null
) strict, without rowid;
