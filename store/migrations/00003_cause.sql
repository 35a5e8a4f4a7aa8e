-- +goose Up

-- Facts: what an owner said, which looks settle a cause, and what the cause turned out to be. Lists and maps are JSON text.

CREATE TABLE told (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  round_id    TEXT   NOT NULL REFERENCES round (id),
  car_id      TEXT   NOT NULL,
  words       TEXT   NOT NULL,
  signs       TEXT   NOT NULL,
  withdraws   TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX told_by_round ON told (round_id, seq);

CREATE TABLE look (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  round_id    TEXT   NOT NULL REFERENCES round (id),
  car_id      TEXT   NOT NULL,
  sign        TEXT   NOT NULL,
  answer      TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX look_by_round ON look (round_id, seq);

CREATE TABLE confirmed (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  round_id    TEXT   NOT NULL REFERENCES round (id),
  car_id      TEXT   NOT NULL,
  complaint   TEXT   NOT NULL,
  cause       TEXT   NOT NULL,
  seen        TEXT   NOT NULL,
  note        TEXT   NOT NULL,
  withdraws   TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX confirmed_by_round ON confirmed (round_id, seq);
