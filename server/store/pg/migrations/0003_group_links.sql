-- +goose Up

-- Links by which somebody sees several nurseries side by side. Each nursery has its own row of one, and may end it by itself.
create table group_links (
  site       int    not null default current_setting('bedwalk.site')::int,
  id         text   collate "C" not null,
  name       text   collate "C" not null,
  hash       bytea  not null,
  made_at    bigint not null,
  used_at    bigint not null default 0,
  revoked_at bigint not null default 0,
  primary key (site, id),
  unique (site, hash)
);
alter table group_links enable row level security;
alter table group_links force row level security;
create policy one_site on group_links using (site = current_setting('bedwalk.site')::int);
create trigger keep_door after insert or delete on group_links for each row execute function keep_door('hash');
