-- +goose Up

-- The hash of each row of the small tables, as Bedwalk last wrote it: what somebody changes with another program is found
-- by "verify". See package db, seal.go.
create table seals (
  tab  text not null,
  key  text not null,
  hash blob not null,
  primary key (tab, key)
) strict, without rowid;

-- The running hash over the journal in the order of its positions, at every thousandth of them; its end is in meta under
-- "order". An empty "order" says that a journal of an older build is still to be hashed, which the next push does.
create table marks (
  position integer primary key,
  hash     blob not null
) strict;
insert into meta select 'order', '' from entries limit 1;
