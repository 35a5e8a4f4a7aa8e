-- +goose Up

-- Facts: the workshop's dealings with its owners. What a record says is JSON text; the columns are what it is looked for by. A key in
-- once_key is there only once; NULL is none, and there may be many.

CREATE TABLE record (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  kind        TEXT   NOT NULL,
  car_id      TEXT   NOT NULL,
  ref_id      TEXT   NOT NULL,
  once_key    TEXT   UNIQUE,
  body        TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX record_by_kind ON record (kind, seq);
CREATE INDEX record_by_car ON record (car_id, kind, seq);
CREATE INDEX record_by_ref ON record (ref_id, kind, seq);
