-- Sales, and what an edition of a report stated.

CREATE TABLE sale (
    piece         INTEGER PRIMARY KEY REFERENCES piece (id),
    day           TEXT NOT NULL,
    told          TEXT NOT NULL                    -- JSON: the whole sale as the owner told it last; former words stay in the ledger
) STRICT;

CREATE TABLE edition_stated (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    reader        TEXT NOT NULL,                   -- buyer or owner
    no            INTEGER NOT NULL,                -- of the edition
    stated        TEXT NOT NULL,                   -- JSON: findings, pictures, repairs and statements of that page; nothing private
    PRIMARY KEY (piece, reader, no),
    FOREIGN KEY (piece, reader, no) REFERENCES edition (piece, reader, no)
) STRICT, WITHOUT ROWID;
