-- +goose Up

-- The field's word for notes that are kept and not merged. A state can only be renamed by making the table again, because
-- its check names them: "quarantined" is a note with a fault, "review" one of a revoked phone or one that nothing vouches
-- for, "repeat" a note that is already in the journal under an earlier number, "merged" and "left" what was decided.
create table quarantine (
  n           integer primary key,
  id          text    not null,
  writer      integer not null references writers,
  seq         integer not null,
  state       text    not null check (state in ('quarantined', 'review', 'repeat', 'merged', 'left')),
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
insert into quarantine select n, id, writer, seq, case state when 'held' then 'quarantined' else state end, at, quality, at_from, at_to,
  received_at, bytes, faults, position, decided_by, decided_at from waiting;
create index quarantine_undecided on quarantine (n) where state in ('quarantined', 'review');
create index quarantine_id on quarantine (id);

-- Quarantined entries that wait for nothing but another record, and the key of that record.
create table awaited (
  key text    not null,
  n   integer not null references quarantine,
  primary key (key, n)
) strict, without rowid;
insert into awaited select key, n from wants;
drop table wants;
drop table waiting;

-- Lots and beds by a small number.
alter table things rename to registers;
