-- +goose NO TRANSACTION
-- +goose Up

-- What was noted on a day is asked for by the time of its stamp. An index is built beside the pushes of servers that run; one that a start was stopped at is
-- worthless and begun again. It waits for whoever reads at the time, as long as that takes.
set lock_timeout = 0;
drop index concurrently if exists notes_by_time;
create index concurrently notes_by_time on notes (site, at);
reset lock_timeout;
