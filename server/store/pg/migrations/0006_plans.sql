-- +goose NO TRANSACTION
-- +goose Up

-- The policies ask for the site in a question of its own, so that PostgreSQL plans for any site. It looks the value up otherwise, takes a nursery of which
-- it has no statistics for one of no rows, where every index is as good as the right one, and goes over all that the nursery has for each id that is asked.
-- One table at a time: whoever held some and waited for another would be waited for by pushes that do the same the other way round.
-- +goose StatementBegin
do $$
declare t name;
begin
  for t in select c.relname from pg_class c join pg_policy p on p.polrelid = c.oid
    where c.relnamespace = current_schema()::regnamespace and p.polname = 'one_site'
  loop
    execute format('alter policy one_site on %I using (site = (select current_setting(''bedwalk.site'')::int))', t);
    commit;
  end loop;
end
$$;
-- +goose StatementEnd
