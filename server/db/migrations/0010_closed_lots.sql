-- +goose Up

-- Lots that are closed, since which head, and when something last touched them (ms since 1970).
create table closed_lots (
  lot     integer primary key,
  since   integer not null,
  last_at integer not null
) strict;

-- Lots that were closed and untouched for long enough that first pulls may have left their notes out, until something touched them:
-- what was left out meanwhile stays known.
create table closed_before (
  lot        integer not null,
  since      integer not null,
  until      integer not null,
  last_at    integer not null,
  count      integer not null,
  sum        blob    not null,
  records    integer not null,
  record_sum blob    not null,
  primary key (lot, since)
) strict, without rowid;

-- Entries of a lot that no first pull leaves out, and from which head on: registers, the ledger, and records that are not of one lot alone.
create table staying (
  position integer primary key,
  since    integer not null
) strict;

-- Of each lot: its other entries, and the records that they make. Kept at each batch.
create table leaving_sums (
  lot        integer primary key,
  count      integer not null,
  sum        blob    not null,
  records    integer not null,
  record_sum blob    not null
) strict;

-- In a file of an older build all of it is made while the server runs, and the sums of records once more with it.
delete from record_sums;
insert or replace into meta select 'records_summed', '0' from records limit 1;
insert or replace into meta select 'entries_sorted', '0' from entries limit 1;
