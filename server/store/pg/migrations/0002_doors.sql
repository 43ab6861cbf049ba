-- +goose Up

-- Which nursery a token, a pairing code or a reading key opens, by its SHA-256. Whoever serves several nurseries at one address has to know before a site
-- can be named. A hash may open two: a backup that was copied here as another site has the devices of the first.
create table doors (
  site int   not null default current_setting('bedwalk.site')::int,
  hash bytea not null,
  primary key (hash, site)
);
alter table doors enable row level security;
alter table doors force row level security;
create policy one_site on doors using (site = current_setting('bedwalk.site')::int);
-- A transaction that names a hash sees its rows, whichever site they are of, and no others: nobody can list what opens what.
create policy one_hash on doors for select using (hash = decode(current_setting('bedwalk.door', true), 'hex'));

-- Triggers keep them, so that no statement can forget to, and a server of an older build beside this one does not.
-- +goose StatementBegin
create function keep_door() returns trigger language plpgsql set search_path from current as $$
begin
  if tg_op = 'INSERT' then
    insert into doors (site, hash) values (new.site, (to_jsonb(new) ->> tg_argv[0])::bytea) on conflict do nothing;
  else
    delete from doors where site = old.site and hash = (to_jsonb(old) ->> tg_argv[0])::bytea;
  end if;
  return null;
end
$$;
-- +goose StatementEnd
create trigger keep_door after insert or delete on devices for each row execute function keep_door('token');
create trigger keep_door after insert or delete on pairings for each row execute function keep_door('code');
create trigger keep_door after insert or delete on reading_keys for each row execute function keep_door('hash');

-- +goose StatementBegin
do $$
declare one int;
begin
  for one in select site from sites loop
    perform set_config('bedwalk.site', one::text, true);
    insert into doors (hash) select token from devices union select code from pairings union select hash from reading_keys;
  end loop;
end
$$;
-- +goose StatementEnd
