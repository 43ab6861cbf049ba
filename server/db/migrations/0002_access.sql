-- +goose Up

-- Tokens and codes are kept as SHA-256 only: who reads this file cannot use them.
create table devices (
  id         text primary key,
  name       text    not null,
  person     text    not null,
  role       text    not null check (role in ('scout', 'supervisor', 'owner')),
  token      blob    not null unique,
  paired_at  integer not null,
  seen_at    integer not null default 0,
  revoked_at integer not null default 0,
  revoked_by text    not null default ''
) strict, without rowid;

create table pairings (
  code    blob primary key,
  person  text    not null,
  name    text    not null,
  role    text    not null check (role in ('scout', 'supervisor', 'owner')),
  made_by text    not null,
  until   integer not null,
  used_at integer not null default 0
) strict, without rowid;
