-- +goose Up

-- Where on the car an item was renewed: a corner, an axle, a counted part; empty is the whole car, and what was written down
-- before places were asked for.
ALTER TABLE renewal ADD COLUMN place TEXT NOT NULL DEFAULT '';

-- Facts: what the workshop's history taught at one moment. What it says is JSON.

CREATE TABLE classes (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  through     BIGINT NOT NULL,
  catalogue   TEXT   NOT NULL,
  cars        BIGINT NOT NULL,
  looks       BIGINT NOT NULL,
  fitted      TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
