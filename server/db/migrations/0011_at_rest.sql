-- +goose Up

-- An entry's bytes are put together from these when they are read (package atrest). shapes has the texts of entries with a name in place of each
-- value; names has what many entries share: walks, and who wrote on which device ("INCARNATION DEVICE PERSON SESSION").
create table shapes (
  n     integer primary key,
  shape text not null unique
) strict;

create table names (
  n  integer primary key,
  id any not null unique
) strict;

-- The journal. Rows are never changed and never taken out. lot 0 is "no lot", and so on. Times are ms since 1970; what ends in _by is the
-- difference to at, which takes fewer bytes. body has the values that have no column, with commas between them; where shape is 0, the bytes themselves.
create table notes (
  position    integer primary key,
  id          blob    not null unique,
  writer      integer not null references writers,
  seq         integer not null,
  lot         integer not null,
  at          integer not null,
  quality     integer not null,
  from_by     integer not null,
  to_by       integer not null,
  received_by integer not null,
  shape       integer not null,
  bed         integer not null,
  sitting     integer not null,
  walk        integer not null,
  wall_by     integer not null,
  floor_by    integer not null,
  mono        integer not null,
  body        any     not null,
  unique (writer, seq)
) strict;
create index notes_of_lot on notes (lot);

-- What was written before keeps its bytes as they are.
insert into notes select position, id, writer, seq, lot, at, case quality when 'exact' then 0 when 'corrected' then 1 when 'bracketed' then 2 else 3 end,
  at_from - at, at_to - at, received_at - at, 0, 0, 0, 0, 0, 0, 0, bytes from entries;
drop table entries;

-- The journal as it is read. Look-ups are made only where bytes are asked for, and there is no join, so that every index serves as in a table.
-- A column that has no part in the bytes has to be empty, or there are none: nobody changes it unnoticed.
create view entries as select
  e.position, e.id, e.writer, e.seq, e.lot, e.at,
  case e.quality when 0 then 'exact' when 1 then 'corrected' when 2 then 'bracketed' when 3 then 'pending' else '?' end as quality,
  e.at + e.from_by as at_from, e.at + e.to_by as at_to, e.at + e.received_by as received_at,
  case
    when e.shape <> 0 then note_bytes(
      (select s.shape from shapes s where s.n = e.shape), e.body, e.id, e.seq,
      case e.lot when 0 then '' else coalesce((select r.id from registers r where r.n = e.lot), '?') end,
      case e.bed when 0 then '' else coalesce((select r.id from registers r where r.n = e.bed), '?') end,
      case e.sitting when 0 then '' else coalesce((select m.id from names m where m.n = e.sitting), '?') end,
      case e.walk when 0 then '' else coalesce((select m.id from names m where m.n = e.walk), '?') end,
      e.at, e.wall_by, e.floor_by, e.mono)
    when e.bed = 0 and e.sitting = 0 and e.walk = 0 and e.wall_by = 0 and e.floor_by = 0 and e.mono = 0 then e.body
  end as bytes
  from notes e;
