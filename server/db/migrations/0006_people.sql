-- +goose Up

-- In whose names a device may write: its own person's, and theirs as whom the same browser was paired before, which it
-- showed by the token of that earlier pairing. Pairing is the device under which it was paired as that person; once that
-- one is revoked the row says nothing any more.
create table device_people (
  device  text    not null references devices,
  person  text    not null,
  pairing text    not null references devices,
  since   integer not null,
  primary key (device, pairing)
) strict, without rowid;

insert into device_people select id, person, id, paired_at from devices;
