-- The stock book: what the user told and what the photos said. Findings are numbered here for good; all else that can
-- be worked out from these rows is worked out each time.

CREATE TABLE piece (
    id            INTEGER PRIMARY KEY,
    stock_no      TEXT NOT NULL UNIQUE,            -- 26-014
    title         TEXT NOT NULL,                   -- short description
    form          TEXT NOT NULL,                   -- form of the trade book
    folder        TEXT NOT NULL UNIQUE,            -- name of its folder in the book
    taken_in      TEXT NOT NULL,                   -- RFC 3339
    told          TEXT NOT NULL                    -- JSON: the whole piece as the owner told it
) STRICT;

CREATE TABLE shoot (
    id            INTEGER PRIMARY KEY,
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- within the piece, from 1
    stage         TEXT NOT NULL,                   -- doorstep purchase work sale handover delivery return
    day           TEXT NOT NULL,                   -- first day, by corrected camera time, else of import
    folder        TEXT NOT NULL,                   -- name of its folder in the piece's folder
    UNIQUE (piece, no)
) STRICT;

CREATE TABLE photo (
    id            INTEGER PRIMARY KEY,
    piece         INTEGER NOT NULL REFERENCES piece (id),
    shoot         INTEGER NOT NULL REFERENCES shoot (id),
    no            INTEGER NOT NULL,                -- within the piece, from 1, kept for good
    name          TEXT NOT NULL,                   -- of the original in the shoot's folder
    source_name   TEXT NOT NULL,                   -- it had where it came from
    digest        BLOB NOT NULL,                   -- SHA-256 of the original, 32 bytes
    bytes         INTEGER NOT NULL,                -- length of the original
    facts         TEXT NOT NULL,                   -- JSON: what the bytes say
    clock_off     INTEGER NOT NULL,                -- seconds to add to the camera's clock
    imported      TEXT NOT NULL,                   -- RFC 3339
    UNIQUE (piece, no),
    UNIQUE (piece, digest),
    UNIQUE (shoot, name)
) STRICT;

-- Files taken before, as they lay in the source, so that an unchanged one need not be read again.
CREATE TABLE source_seen (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    path          BLOB NOT NULL,                   -- the path as the system spells it
    bytes         INTEGER NOT NULL,                -- length of the file
    modified_ns   INTEGER NOT NULL,                -- time of last change, ns since 1970
    digest        BLOB NOT NULL,                   -- SHA-256 of what was read, 32 bytes
    PRIMARY KEY (piece, path)
) STRICT, WITHOUT ROWID;

-- Every text a sidecar ever had, good or bad; the newest good one is in force.
CREATE TABLE sidecar_text (
    id            INTEGER PRIMARY KEY,
    photo         INTEGER NOT NULL REFERENCES photo (id),
    absorbed      TEXT NOT NULL,                   -- RFC 3339
    text          TEXT NOT NULL,                   -- as the user wrote it
    content       TEXT                             -- JSON of what it says; NULL when it could not be read
) STRICT;
CREATE INDEX sidecar_text_photo ON sidecar_text (photo, id);

-- The sidecar file as last seen, so that an unchanged one need not be read.
CREATE TABLE sidecar_seen (
    photo         INTEGER PRIMARY KEY REFERENCES photo (id),
    modified_ns   INTEGER NOT NULL,                -- time of last change, ns since 1970
    bytes         INTEGER NOT NULL,                -- length of the file
    in_force      INTEGER REFERENCES sidecar_text (id), -- the newest good text; NULL when there is none yet
    complaints    TEXT NOT NULL                    -- JSON: what is wrong with the newest text; [] when it is in force
) STRICT;

CREATE TABLE finding (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- F1, F2 ... never given twice
    part          TEXT NOT NULL,
    tag           TEXT NOT NULL,
    which         TEXT NOT NULL,                   -- '' for the only one of its kind
    PRIMARY KEY (piece, no),
    UNIQUE (piece, part, tag, which)
) STRICT, WITHOUT ROWID;

CREATE TABLE repair (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- within the piece, from 1
    day           TEXT NOT NULL,
    told          TEXT NOT NULL,                   -- JSON: the whole repair as the owner told it
    PRIMARY KEY (piece, no)
) STRICT, WITHOUT ROWID;

CREATE TABLE edition (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    reader        TEXT NOT NULL,                   -- buyer or owner
    no            INTEGER NOT NULL,                -- from 1
    made          TEXT NOT NULL,                   -- day
    digest        BLOB NOT NULL,                   -- SHA-256 of the page, 32 bytes
    path          TEXT NOT NULL,                   -- as written, relative to the book where it lies in it
    PRIMARY KEY (piece, reader, no)
) STRICT, WITHOUT ROWID;
