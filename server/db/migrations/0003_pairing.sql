-- +goose Up

-- Which device a code was traded for, the SHA-256 of the secret that this device sent with it, and the chance that went
-- into its token: when the answer was lost on the way, the same device asks again and gets the same token.
alter table pairings add column device text not null default '';
alter table pairings add column claim blob;
alter table pairings add column chance blob;
