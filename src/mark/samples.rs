//! Words and sidecars for the tests of this room.
