-- +goose Up

-- The sum of the hashes of each lot's records, kept at each batch: a digest is answered from it. lot 0 is "no lot".
create table record_sums (
  lot   integer primary key,
  count integer not null,
  sum   blob    not null
) strict;

-- In a file of an older build the records up to this number of theirs are in the sums; the server adds the others while it runs.
-- Without the row all of them are.
insert into meta select 'records_summed', '0' from records limit 1;
