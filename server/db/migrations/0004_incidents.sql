-- +goose Up

-- One row for each kind of trouble of each device, however often it came back: a phone that stumbles all day long must
-- not fill the page that it would be revoked on. over_at is when it was over by itself, seen_at and seen_by say which
-- supervisor has put it away; 0 and '' while it is open. The newest detail stands for all.
create table incidents_by_kind (
  device   text    not null,
  code     text    not null,
  first_at integer not null,
  at       integer not null,
  count    integer not null,
  detail   text    not null,
  over_at  integer not null default 0,
  seen_at  integer not null default 0,
  seen_by  text    not null default '',
  primary key (device, code)
) strict, without rowid;

insert into incidents_by_kind (device, code, first_at, at, count, detail)
  select device, code, first_at, at, count, (select substr(detail, 1, 500) from incidents where n = newest)
  from (select device, code, min(at) as first_at, max(at) as at, count(*) as count, max(n) as newest
    from incidents where code <> 'digest_equal' group by device, code);

update incidents_by_kind set over_at = r.equal_at from reports r
  where r.device = incidents_by_kind.device and incidents_by_kind.code = 'digest_differs' and r.equal = 'equal';

drop table incidents;
alter table incidents_by_kind rename to incidents;
