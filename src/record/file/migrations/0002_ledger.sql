-- The ledger: everything that entered the book, as canonical JSON, each line a leaf of a hash tree; and its seals.

CREATE TABLE ledger (
    no            INTEGER PRIMARY KEY,             -- place in the ledger, from 0
    line          TEXT NOT NULL,                   -- canonical JSON (RFC 8785), to the byte what is hashed
    leaf          BLOB NOT NULL,                   -- SHA-256(00 || line) (RFC 9162), 32 bytes
    piece         TEXT NOT NULL,                   -- stock number; '' for the book
    private       TEXT                             -- what the line holds only the digest of; NULL when nothing is private
) STRICT;
CREATE INDEX ledger_piece ON ledger (piece, no);

-- Nothing in the ledger is ever rewritten; a correction is a new line.
CREATE TRIGGER ledger_stays BEFORE UPDATE ON ledger BEGIN SELECT raise(ABORT, 'a line of the ledger never changes'); END;
CREATE TRIGGER ledger_keeps BEFORE DELETE ON ledger BEGIN SELECT raise(ABORT, 'a line of the ledger never goes'); END;

CREATE TABLE seal (
    no            INTEGER PRIMARY KEY,             -- from 1
    statement     TEXT NOT NULL,                   -- canonical JSON, to the byte what is signed
    signature     BLOB NOT NULL,                   -- Ed25519 (RFC 8032), 64 bytes
    request       BLOB NOT NULL,                   -- time-stamp request (RFC 3161), DER
    reply         BLOB,                            -- time-stamp reply, DER; NULL while there is none
    stamped       TEXT                             -- RFC 3339: the time in the reply, once checked
) STRICT;

CREATE TABLE removed_photo (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- number it had within the piece, never given again
    name          TEXT NOT NULL,                   -- it had in its shoot's folder
    digest        BLOB NOT NULL,                   -- SHA-256 of the original, 32 bytes
    why           TEXT NOT NULL,                   -- in the owner's words
    removed       TEXT NOT NULL,                   -- RFC 3339
    PRIMARY KEY (piece, no)
) STRICT, WITHOUT ROWID;

CREATE TABLE kept_file (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- within the piece, from 1
    name          TEXT NOT NULL,                   -- in the piece's `kept` folder
    digest        BLOB NOT NULL,                   -- SHA-256, 32 bytes
    kept          TEXT NOT NULL,                   -- RFC 3339
    PRIMARY KEY (piece, no),
    UNIQUE (piece, name)
) STRICT, WITHOUT ROWID;
