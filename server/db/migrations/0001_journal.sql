-- +goose Up

-- One value a name: the clock's high-water mark, the site's own writer, what the last backup covers.
create table meta (
  name  text primary key,
  value text not null
) strict, without rowid;

-- Each restored backup begins an epoch: what its parent had after forked_at may be lost here. The last row is the
-- present one.
create table epochs (
  n         integer primary key,
  epoch     text    not null unique,
  parent    text    not null,
  forked_at integer not null,
  began_at  integer not null
) strict;

-- Lots and beds by a small number, because their 32 digits would stand in every row and index.
create table things (
  n  integer primary key,
  id text not null unique
) strict;

-- One row for each incarnation of each device: the head of its chain, and the last time given to it.
create table writers (
  n       integer primary key,
  device  text    not null,
  inc     integer not null,
  high    integer not null default 0,
  chain   blob    not null,
  last_at integer not null default 0,
  unique (device, inc)
) strict;

-- The journal. Rows are never changed and never taken out. lot 0 is "no lot".
create table entries (
  position    integer primary key,
  id          blob    not null unique,
  writer      integer not null references writers,
  seq         integer not null,
  lot         integer not null,
  at          integer not null,
  quality     text    not null,
  at_from     integer not null,
  at_to       integer not null,
  received_at integer not null,
  bytes       blob    not null,
  unique (writer, seq)
) strict;
create index entries_of_lot on entries (lot);

-- Which entries have a part in which record. A record that is named for its entry is found by that entry's id, and
-- needs no row here.
create table entry_keys (
  key      text    not null,
  position integer not null,
  primary key (key, position)
) strict, without rowid;

-- What the fold made of the entries: could be made again at any time. changed is the head at which it last changed.
-- json is null for a record of one entry that it is named for (a pot that nobody corrected, a reading): most are, and
-- folding the one entry at reading costs no more than reading the record would, and saves half of the file.
create table records (
  n       integer primary key,
  key     text    not null unique,
  lot     integer not null,
  bed     integer not null,
  changed integer not null,
  json    blob
) strict;
create index records_of_lot on records (lot) where lot <> 0;
create index records_of_bed on records (bed) where bed <> 0;
create index records_changed on records (changed);

create table digests (
  lot   integer primary key,
  count integer not null,
  sum   blob    not null
) strict;

-- Entries that are kept and not merged: held for a fault, in review because the phone was revoked, repeats of a note
-- that is already in the journal under an earlier incarnation; and, after a decision, what was decided.
create table waiting (
  n           integer primary key,
  id          text    not null,
  writer      integer not null references writers,
  seq         integer not null,
  state       text    not null check (state in ('held', 'review', 'repeat', 'merged', 'left')),
  at          integer not null,
  quality     text    not null,
  at_from     integer not null,
  at_to       integer not null,
  received_at integer not null,
  bytes       blob    not null,
  faults      text    not null,
  position    integer not null default 0,
  decided_by  text    not null default '',
  decided_at  integer not null default 0,
  unique (writer, seq)
) strict;
create index waiting_undecided on waiting (n) where state in ('held', 'review');
create index waiting_id on waiting (id);

-- Held entries that wait for nothing but another record, and the key of that record.
create table wants (
  key text    not null,
  n   integer not null references waiting,
  primary key (key, n)
) strict, without rowid;

-- What each device last told about itself.
create table reports (
  device   text primary key,
  at       integer not null,
  pending  integer not null default 0,
  photos   integer not null default 0,
  skew_ms  integer not null default 0,
  equal    text    not null default '',
  equal_to integer not null default 0,
  equal_at integer not null default 0
) strict, without rowid;

create table incidents (
  n      integer primary key,
  at     integer not null,
  device text    not null,
  code   text    not null,
  detail text    not null
) strict;
