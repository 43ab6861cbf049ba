-- +goose Up

-- Addresses that get a message when something happens. A secret has to be read to sign with it, so it stands here as it is; no answer gives it again
-- and no export has it. Events are types with spaces between them. State is on, off (an owner's wish) or failed; why says what failed.
create table hooks (
  id            text primary key,
  name          text    not null,
  url           text    not null,
  events        text    not null,
  secret        text    not null,
  old_secret    text    not null default '',
  old_until     integer not null default 0,
  made_by       text    not null,
  made_at       integer not null,
  state         text    not null default 'on',
  why           text    not null default '',
  changed_at    integer not null default 0,
  failing_since integer not null default 0
) strict, without rowid;

-- What is to be sent, and what was: state is waiting, sent or given_up.
create table hook_messages (
  hook    text    not null,
  id      text    not null,
  type    text    not null,
  body    text    not null,
  made_at integer not null,
  state   text    not null default 'waiting',
  tries   integer not null default 0,
  next_at integer not null,
  primary key (hook, id)
) strict, without rowid;

create index hook_messages_due on hook_messages (state, next_at);

-- The last tries of each address: status 0 where no answer came, error why.
create table hook_tries (
  n       integer primary key,
  hook    text    not null,
  message text    not null,
  type    text    not null,
  try     integer not null,
  at      integer not null,
  ms      integer not null,
  status  integer not null,
  error   text    not null,
  answer  text    not null
) strict;

-- What was known at the last look: what differs from it has happened since.
create table hook_state (
  name  text primary key,
  value text not null
) strict, without rowid;
