-- Pieces that were withdrawn: taken in by mistake.

CREATE TABLE withdrawn_piece (
    piece         INTEGER PRIMARY KEY REFERENCES piece (id),
    why           TEXT NOT NULL,                   -- in the owner's words
    withdrawn     TEXT NOT NULL                    -- when
) STRICT;
