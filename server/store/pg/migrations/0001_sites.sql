-- +goose Up

-- One row for each nursery. Whoever writes to a site holds its row until the commit: so there is one writer at a time, and positions are given in the
-- order of the commits, without a hole that a reader could see. turn grows with every write to the journal, gate with every write to who may come in.
create table sites (
  site int    generated always as identity primary key,
  name text   collate "C" not null unique,
  turn bigint not null default 0,
  gate bigint not null default 0,
  -- Where the nursery was moved to, '' while it is here.
  moved text collate "C" not null default '',
  -- Which line of PostgreSQL's own history the rows were last served on.
  line  text collate "C" not null default ''
) with (fillfactor = 20);

-- What follows is what server/db/migrations has for one file, with the site before every key. Texts are ordered byte by byte, as Go does.

create table meta (
  site  int  not null default current_setting('bedwalk.site')::int,
  name  text collate "C" not null,
  value text collate "C" not null,
  primary key (site, name)
);

create table epochs (
  site      int    not null default current_setting('bedwalk.site')::int,
  n         bigint not null,
  epoch     text   collate "C" not null,
  parent    text   collate "C" not null,
  forked_at bigint not null,
  began_at  bigint not null,
  primary key (site, n),
  unique (site, epoch)
);

create table registers (
  site int    not null default current_setting('bedwalk.site')::int,
  n    bigint not null,
  id   text   collate "C" not null,
  primary key (site, n),
  unique (site, id)
);

create table writers (
  site    int    not null default current_setting('bedwalk.site')::int,
  n       bigint not null,
  device  text   collate "C" not null,
  inc     bigint not null,
  high    bigint not null default 0,
  chain   bytea  not null,
  last_at bigint not null default 0,
  primary key (site, n),
  unique (site, device, inc)
) with (fillfactor = 70);

-- The journal. Rows are never changed and never taken out. Lot 0 is "no lot". A note is kept as the bytes that it came in; walk and person are those of
-- a noted pot, for histories, and empty for every other kind.
create table notes (
  site        int    not null default current_setting('bedwalk.site')::int,
  position    bigint not null,
  id          bytea  not null,
  writer      bigint not null,
  seq         bigint not null,
  lot         bigint not null,
  at          bigint not null,
  quality     text   collate "C" not null,
  at_from     bigint not null,
  at_to       bigint not null,
  received_at bigint not null,
  kind        text   collate "C" not null,
  walk        bytea  not null,
  person      text   collate "C" not null,
  bytes       bytea  not null,
  primary key (site, position),
  unique (site, id),
  unique (site, writer, seq)
);
create index notes_of_lot on notes (site, lot, position);

create table entry_keys (
  site     int    not null default current_setting('bedwalk.site')::int,
  key      text   collate "C" not null,
  position bigint not null,
  primary key (site, key, position)
);

-- json is null for a record of the one note that it is named for, whose id note has. It is bytes: jsonb would order the members its own way.
create table records (
  site    int    not null default current_setting('bedwalk.site')::int,
  n       bigint not null,
  key     text   collate "C" not null,
  lot     bigint not null,
  bed     bigint not null,
  changed bigint not null,
  json    bytea,
  note    bytea  generated always as (
    case when json is null and split_part(key, ':', 2) ~ '^([0-9a-f][0-9a-f])+$' then decode(split_part(key, ':', 2), 'hex') end
  ) stored,
  primary key (site, key),
  unique (site, n)
) with (fillfactor = 80);
create index records_of_lot on records (site, lot, n) where lot <> 0;
create index records_of_bed on records (site, bed, n) where bed <> 0;
create index records_changed on records (site, changed, key);

create table digests (
  site  int    not null default current_setting('bedwalk.site')::int,
  lot   bigint not null,
  count bigint not null,
  sum   bytea  not null,
  primary key (site, lot)
) with (fillfactor = 50);

create table record_sums (
  site  int    not null default current_setting('bedwalk.site')::int,
  lot   bigint not null,
  count bigint not null,
  sum   bytea  not null,
  primary key (site, lot)
) with (fillfactor = 50);

create table leaving_sums (
  site       int    not null default current_setting('bedwalk.site')::int,
  lot        bigint not null,
  count      bigint not null,
  sum        bytea  not null,
  records    bigint not null,
  record_sum bytea  not null,
  primary key (site, lot)
) with (fillfactor = 50);

create table closed_lots (
  site    int    not null default current_setting('bedwalk.site')::int,
  lot     bigint not null,
  since   bigint not null,
  last_at bigint not null,
  primary key (site, lot)
);

create table closed_before (
  site       int    not null default current_setting('bedwalk.site')::int,
  lot        bigint not null,
  since      bigint not null,
  until      bigint not null,
  last_at    bigint not null,
  count      bigint not null,
  sum        bytea  not null,
  records    bigint not null,
  record_sum bytea  not null,
  primary key (site, lot, since)
);

create table staying (
  site     int    not null default current_setting('bedwalk.site')::int,
  position bigint not null,
  since    bigint not null,
  primary key (site, position)
);

create table marks (
  site     int    not null default current_setting('bedwalk.site')::int,
  position bigint not null,
  hash     bytea  not null,
  primary key (site, position)
);

create table quarantine (
  site        int    not null default current_setting('bedwalk.site')::int,
  n           bigint not null,
  -- The id is what a phone spelt, of any length; an index takes the beginning of it.
  id          text   collate "C" not null,
  id_begins   text   collate "C" generated always as (left(id, 200)) stored,
  writer      bigint not null,
  seq         bigint not null,
  state       text   collate "C" not null check (state in ('quarantined', 'review', 'repeat', 'merged', 'left')),
  at          bigint not null,
  quality     text   collate "C" not null,
  at_from     bigint not null,
  at_to       bigint not null,
  received_at bigint not null,
  bytes       bytea  not null,
  faults      text   collate "C" not null,
  position    bigint not null default 0,
  decided_by  text   collate "C" not null default '',
  decided_at  bigint not null default 0,
  primary key (site, n),
  unique (site, writer, seq)
);
create index quarantine_undecided on quarantine (site, n) where state in ('quarantined', 'review');
create index quarantine_id on quarantine (site, id_begins);
create index quarantine_merged on quarantine (site, position) where state = 'merged';

create table awaited (
  site int    not null default current_setting('bedwalk.site')::int,
  key  text   collate "C" not null,
  n    bigint not null,
  primary key (site, key, n)
);
create index awaited_of_note on awaited (site, n);

create table reports (
  site     int    not null default current_setting('bedwalk.site')::int,
  device   text   collate "C" not null,
  at       bigint not null,
  pending  bigint not null default 0,
  photos   bigint not null default 0,
  skew_ms  bigint not null default 0,
  equal    text   collate "C" not null default '',
  equal_to bigint not null default 0,
  equal_at bigint not null default 0,
  primary key (site, device)
) with (fillfactor = 50);

create table incidents (
  site     int    not null default current_setting('bedwalk.site')::int,
  device   text   collate "C" not null,
  code     text   collate "C" not null,
  first_at bigint not null,
  at       bigint not null,
  count    bigint not null,
  detail   text   collate "C" not null,
  over_at  bigint not null default 0,
  seen_at  bigint not null default 0,
  seen_by  text   collate "C" not null default '',
  primary key (site, device, code)
);

create table bed_scores (
  site int   not null default current_setting('bedwalk.site')::int,
  bed  text  collate "C" not null,
  json bytea not null,
  primary key (site, bed)
);

create table scores_at (
  site     int    not null default current_setting('bedwalk.site')::int,
  measures text   collate "C" not null,
  head     bigint not null,
  primary key (site, measures)
);

create table devices (
  site       int    not null default current_setting('bedwalk.site')::int,
  id         text   collate "C" not null,
  name       text   collate "C" not null,
  person     text   collate "C" not null,
  role       text   collate "C" not null check (role in ('scout', 'supervisor', 'owner')),
  token      bytea  not null,
  paired_at  bigint not null,
  seen_at    bigint not null default 0,
  revoked_at bigint not null default 0,
  revoked_by text   collate "C" not null default '',
  primary key (site, id),
  unique (site, token)
);

create table device_people (
  site    int    not null default current_setting('bedwalk.site')::int,
  device  text   collate "C" not null,
  person  text   collate "C" not null,
  pairing text   collate "C" not null,
  since   bigint not null,
  primary key (site, device, pairing)
);

create table pairings (
  site    int    not null default current_setting('bedwalk.site')::int,
  code    bytea  not null,
  person  text   collate "C" not null,
  name    text   collate "C" not null,
  role    text   collate "C" not null check (role in ('scout', 'supervisor', 'owner')),
  made_by text   collate "C" not null,
  until   bigint not null,
  used_at bigint not null default 0,
  device  text   collate "C" not null default '',
  claim   bytea,
  chance  bytea,
  primary key (site, code)
);

create table reading_keys (
  site       int    not null default current_setting('bedwalk.site')::int,
  id         text   collate "C" not null,
  name       text   collate "C" not null,
  hash       bytea  not null,
  of_table   text   collate "C" not null default '',
  people     bigint not null default 0,
  made_by    text   collate "C" not null,
  made_at    bigint not null,
  used_at    bigint not null default 0,
  revoked_at bigint not null default 0,
  revoked_by text   collate "C" not null default '',
  primary key (site, id),
  unique (site, hash)
);

-- The site stands last here, since package hooks writes these rows with the statements that it has for a file.
create table hooks (
  id            text   collate "C" not null,
  name          text   collate "C" not null,
  url           text   collate "C" not null,
  events        text   collate "C" not null,
  secret        text   collate "C" not null,
  old_secret    text   collate "C" not null default '',
  old_until     bigint not null default 0,
  made_by       text   collate "C" not null,
  made_at       bigint not null,
  state         text   collate "C" not null default 'on',
  why           text   collate "C" not null default '',
  changed_at    bigint not null default 0,
  failing_since bigint not null default 0,
  site          int    not null default current_setting('bedwalk.site')::int,
  primary key (site, id)
);

create table hook_messages (
  hook    text   collate "C" not null,
  id      text   collate "C" not null,
  type    text   collate "C" not null,
  body    text   collate "C" not null,
  made_at bigint not null,
  state   text   collate "C" not null default 'waiting',
  tries   bigint not null default 0,
  next_at bigint not null,
  site    int    not null default current_setting('bedwalk.site')::int,
  primary key (site, hook, id)
);
create index hook_messages_due on hook_messages (site, state, next_at);

create table hook_tries (
  n       bigint not null generated by default as identity,
  hook    text   collate "C" not null,
  message text   collate "C" not null,
  type    text   collate "C" not null,
  try     bigint not null,
  at      bigint not null,
  ms      bigint not null,
  status  bigint not null,
  error   text   collate "C" not null,
  answer  text   collate "C" not null,
  site    int    not null default current_setting('bedwalk.site')::int,
  primary key (site, n)
);
create index hook_tries_of_hook on hook_tries (site, hook, n);

create table hook_state (
  name  text collate "C" not null,
  value text collate "C" not null,
  site  int  not null default current_setting('bedwalk.site')::int,
  primary key (site, name)
);

-- A transaction sees and writes the rows of the one site that it names in bedwalk.site; without a name every statement is an error. This holds for the
-- owner of the tables too, and only for roles that are superuser or bypass row security it does not: those are refused.
-- +goose StatementBegin
do $$
declare t name;
begin
  for t in select c.relname from pg_class c join pg_attribute a on a.attrelid = c.oid
    where c.relnamespace = current_schema()::regnamespace and c.relkind = 'r' and a.attname = 'site' and c.relname <> 'sites'
  loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy one_site on %I using (site = current_setting(''bedwalk.site'')::int)', t);
  end loop;
end
$$;
-- +goose StatementEnd
