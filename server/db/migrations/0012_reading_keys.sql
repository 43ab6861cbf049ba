-- +goose Up

-- Keys by which other programs read, kept as SHA-256 only. Of_table is the one table that a key reads, '' for all that keys may
-- read; people is 1 where it reads about people too. Made_by is a person; their keys stop when they have no supervisor's device left.
create table reading_keys (
  id         text primary key,
  name       text    not null,
  hash       blob    not null unique,
  of_table   text    not null default '',
  people     integer not null default 0,
  made_by    text    not null,
  made_at    integer not null,
  used_at    integer not null default 0,
  revoked_at integer not null default 0,
  revoked_by text    not null default ''
) strict, without rowid;
