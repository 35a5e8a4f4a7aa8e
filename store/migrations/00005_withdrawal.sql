-- +goose Up

-- Facts: a renewal, an odometer reading or a round no longer counts. What it withdraws stays; fact_id is its id, what is its kind.

CREATE TABLE withdrawal (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  car_id      TEXT   NOT NULL,
  what        TEXT   NOT NULL,
  fact_id     TEXT   NOT NULL,
  why         TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX withdrawal_by_fact ON withdrawal (fact_id, what);
CREATE INDEX withdrawal_by_car ON withdrawal (car_id, seq);
