-- +goose Up

-- Facts: one table per kind, only ever added to. seq is the order of arrival over all kinds.

CREATE TABLE car_version (
  id               TEXT    NOT NULL PRIMARY KEY,
  seq              BIGINT  NOT NULL UNIQUE,
  car_id           TEXT    NOT NULL,
  plate            TEXT    NOT NULL,
  vin              TEXT    NOT NULL,
  description      TEXT    NOT NULL,
  owner_name       TEXT    NOT NULL,
  owner_phone      TEXT    NOT NULL,
  owner_email      TEXT    NOT NULL,
  first_registered TEXT    NOT NULL,
  units            TEXT    NOT NULL,
  facets           TEXT    NOT NULL,
  specs            TEXT    NOT NULL,
  by_whom          TEXT    NOT NULL,
  received_at      BIGINT  NOT NULL
);
CREATE INDEX car_version_by_car ON car_version (car_id, seq);

CREATE TABLE odometer (
  id          TEXT             NOT NULL PRIMARY KEY,
  seq         BIGINT           NOT NULL UNIQUE,
  car_id      TEXT             NOT NULL,
  on_day      TEXT             NOT NULL,
  km          DOUBLE PRECISION NOT NULL,
  note        TEXT             NOT NULL,
  by_whom     TEXT             NOT NULL,
  received_at BIGINT           NOT NULL
);
CREATE INDEX odometer_by_car ON odometer (car_id, on_day, seq);

CREATE TABLE renewal (
  id          TEXT             NOT NULL PRIMARY KEY,
  seq         BIGINT           NOT NULL UNIQUE,
  car_id      TEXT             NOT NULL,
  item        TEXT             NOT NULL,
  on_day      TEXT             NOT NULL,
  km          DOUBLE PRECISION NOT NULL,
  note        TEXT             NOT NULL,
  by_whom     TEXT             NOT NULL,
  received_at BIGINT           NOT NULL
);
CREATE INDEX renewal_by_car ON renewal (car_id, on_day, seq);

CREATE TABLE round (
  id          TEXT             NOT NULL PRIMARY KEY,
  seq         BIGINT           NOT NULL UNIQUE,
  car_id      TEXT             NOT NULL,
  depth       TEXT             NOT NULL,
  on_day      TEXT             NOT NULL,
  km          DOUBLE PRECISION NOT NULL,
  ambient_c   DOUBLE PRECISION,
  engine_hot  BOOLEAN          NOT NULL,
  by_whom     TEXT             NOT NULL,
  received_at BIGINT           NOT NULL
);
CREATE INDEX round_by_car ON round (car_id, on_day, seq);
CREATE INDEX round_by_day ON round (on_day, car_id);

CREATE TABLE round_end (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  round_id    TEXT   NOT NULL REFERENCES round (id),
  catalogue   TEXT   NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX round_end_by_round ON round_end (round_id, seq);

CREATE TABLE reading (
  id          TEXT    NOT NULL PRIMARY KEY,
  seq         BIGINT  NOT NULL UNIQUE,
  round_id    TEXT    NOT NULL REFERENCES round (id),
  car_id      TEXT    NOT NULL,
  point       TEXT    NOT NULL,
  place       TEXT    NOT NULL,
  state       TEXT    NOT NULL,
  code        TEXT    NOT NULL,
  figures     TEXT    NOT NULL,
  skipped     TEXT    NOT NULL,
  note        TEXT    NOT NULL,
  withdrawn   BOOLEAN NOT NULL,
  by_whom     TEXT    NOT NULL,
  taken_at    BIGINT  NOT NULL,
  received_at BIGINT  NOT NULL
);
CREATE INDEX reading_by_round ON reading (round_id, seq);
CREATE INDEX reading_by_car ON reading (car_id, seq);

CREATE TABLE photo (
  id          TEXT    NOT NULL PRIMARY KEY,
  seq         BIGINT  NOT NULL UNIQUE,
  round_id    TEXT    NOT NULL REFERENCES round (id),
  point       TEXT    NOT NULL,
  place       TEXT    NOT NULL,
  hash        TEXT    NOT NULL,
  width       INTEGER NOT NULL,
  height      INTEGER NOT NULL,
  withdrawn   BOOLEAN NOT NULL,
  by_whom     TEXT    NOT NULL,
  received_at BIGINT  NOT NULL
);
CREATE INDEX photo_by_round ON photo (round_id, seq);
CREATE INDEX photo_by_hash ON photo (hash, seq);

CREATE TABLE share (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  round_id    TEXT   NOT NULL REFERENCES round (id),
  token_hash  TEXT   NOT NULL UNIQUE,
  expires_at  BIGINT NOT NULL,
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX share_by_round ON share (round_id, seq);

CREATE TABLE share_end (
  id          TEXT   NOT NULL PRIMARY KEY,
  seq         BIGINT NOT NULL UNIQUE,
  share_id    TEXT   NOT NULL REFERENCES share (id),
  by_whom     TEXT   NOT NULL,
  received_at BIGINT NOT NULL
);
CREATE INDEX share_end_by_share ON share_end (share_id, seq);

-- Read models: made from the facts, can be thrown away and made again.

CREATE TABLE car (
  car_id         TEXT   NOT NULL PRIMARY KEY,
  version_id     TEXT   NOT NULL,
  plate_key      TEXT   NOT NULL,
  search         TEXT   NOT NULL,
  last_round_on  TEXT   NOT NULL,
  last_round_seq BIGINT NOT NULL,
  last_round_id  TEXT   NOT NULL
);
CREATE INDEX car_in_order ON car (last_round_on DESC, last_round_seq DESC, plate_key, car_id);

-- Counters: the last number of arrival, and which version of the program's rules made the read models.

CREATE TABLE counter (
  name  TEXT   NOT NULL PRIMARY KEY,
  value BIGINT NOT NULL
);
INSERT INTO counter (name, value) VALUES ('arrival', 0);
INSERT INTO counter (name, value) VALUES ('read-model', 0);
