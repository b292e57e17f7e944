-- Photos that are of another shoot than the one that they were taken in with, in whose folder they lie.

CREATE TABLE moved_photo (
    piece         INTEGER NOT NULL REFERENCES piece (id),
    no            INTEGER NOT NULL,                -- of the photo within the piece
    shoot         INTEGER NOT NULL REFERENCES shoot (id), -- that it is of now; former words stay in the ledger
    moved         TEXT NOT NULL,                   -- when that was told
    PRIMARY KEY (piece, no)
) STRICT, WITHOUT ROWID;
CREATE INDEX moved_photo_shoot ON moved_photo (shoot);
